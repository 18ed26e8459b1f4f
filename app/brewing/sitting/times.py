"""How long the things around a brew take, and how much is tasted: our own assumptions, no source,
but where one is named. Seconds, grams."""

from app.brewing.along.timeline import Timeline
from app.brewing.along.together import together

SET_UP_S = 130  # a brewer: weigh, grind, filter, rinse
WASH_UP_S = 70  # a brewer
POUR_OUT_S = 12  # a cup
COOL_S = 270  # small cups, from the brewer to 55 °C; what is iced is tasted at once
CLEAR_S = 75  # between two rounds: rinse the mouth, a bite of cracker, clear the cups
LONG_REST_S = 210  # the same where a fainter cup follows a stronger one
REST_S = 95  # between two tastings of the same brews
TASTE_S = 290  # two cups side by side, with a score for each
# Between two cups of a trial 30 to 60 s (from memory), and as long to answer.
A_CUP_S = 45
ANSWER_S = 50

TASTED_G = 40.0  # of a cup that is tasted
MOUTH_G = 120.0  # of water to rinse the mouth with, a tasting
KETTLE_G = 1000.0  # of water in a kettle whose size is not known
RINSE_G = 55.0  # of hot water for a filter that is rinsed hot


def trial_s(cups: int) -> int:
    """A blind trial, from pouring to the answer."""
    return cups * (POUR_OUT_S + A_CUP_S) + ANSWER_S


def span_s(a: Timeline, b: Timeline | None = None) -> int:
    """One brew, or two along, from the first water to the end of the later one."""
    if b is None:
        return a.ends_s
    after_s = together(a, b).b_after_a_s
    return max(a.ends_s, after_s + b.ends_s) - min(0, after_s)
