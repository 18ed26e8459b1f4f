"""Notes and mistakes: what people write about a brew, and what goes wrong."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Slip:
    """Happens to the first everyday cup from `day` on; `twice` means it was entered twice."""

    day: int
    note: str
    change: dict[str, Any] = field(default_factory=dict)
    paper: str = ""
    twice: bool = False


SLIPS = (
    Slip(11, "Dose corrected: first typed as 175 g, it was 17.5."),
    Slip(35, "Saved twice by mistake; the other one is in the bin.", twice=True),
    Slip(54, "Forgot the timer. About five minutes.", {"steep_s": 310}),
    Slip(92, "Kettle switched off too early, 77 degrees.", {"water_temp_c": 77.0}),
    Slip(124, "Entered in the evening from memory.", {"steep_s": None, "press_s": None}),
    Slip(
        147,
        "Wet paper lay over night and smelled. Thrown away, a fresh one taken.",
        paper="replaced",
    ),
    Slip(193, "Spilled some while pouring; nobody hurt.", {"water_g": 271.0}),
    Slip(259, "The mill was still on the other setting.", {"setting": 6}),
)

# How often a note is written, and the notes to choose from.
NOTES: dict[str, tuple[float, tuple[str, ...]]] = {
    "usual": (
        0.13,
        (
            "Bus was late, cup was not.",
            "Finer next time?",
            "Better than yesterday.",
            "Mug warmed on the kettle lid first.",
            "Half asleep, but it worked.",
            "Pressed too fast.",
            "A little bitter at the end.",
            "Drunk on the stairs.",
            "Let it cool for ten minutes: much sweeter.",
            "The bag tastes flatter than last week.",
            "Forgot to rinse the paper.",
            "Stirred with a chopstick, all spoons in the sink.",
            "Cold mug. Never again in November.",
            "The mill squeaks.",
            "Good with the pear cake.",
            "Ground straight from the freezer-cold jar.",
            "Chalk in the kettle again.",
            "Nothing to complain about.",
            "Long look out of the window, cup in both hands.",
        ),
    ),
    "dull": (0.0, ("",)),
    "pair": (0.0, ("",)),
    "guests": (
        0.8,
        (
            "Two mugs for the neighbours, nobody noticed the added water.",
            "Aunt and uncle here. Asked for milk.",
            "Guests for cake. Both mugs finished.",
            "Both mugs warmed, one press, one of us pouring.",
        ),
    ),
    "ice": (0.4, ("33 degrees on the balcony.", "Ice gone before the newspaper.", "Long straw.")),
    "strong": (0.8, ("Before the night shift.", "Strong, small, awake until two.")),
}
