"""The rule of the strength of evidence in words; README.md says the same at more length."""

from __future__ import annotations

LEVELS = (
    (
        "shown, close enough",
        "a blind test of ways of brewing that its own rule has ended so. Where several have ended, "
        "more of them show a difference than luck gives in 1 of 20 such sets",
    ),
    (
        "shown for two cups, close enough for two cups",
        "the same of two cups: they came from one pair of brews, and another pair may differ",
    ),
    (
        "hint",
        "a blind test whose evidence has reached 3 either way without its rule having ended it, or "
        "fair side by sides of one thing that agree as much (4 of 4, 7 of 8)",
    ),
    (
        "mixed",
        "blind tests of one claim that ended, or hints, that part ways; or ended tests of which "
        "too few show a difference to rule out luck",
    ),
    (
        "anecdote",
        "scored brews, or side by sides with a preference, that point nowhere together or differ "
        "in several things",
    ),
    ("none", "nothing gathered says how it tastes"),
)
