"""Words of looking back."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from app.formats import Formats
from app.journal.lookback.months import Mean, Month

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip
ALONG = {
    "rest": ("Rest", "rest, days"),
    "use": ("Use of the filter", "use of the filter"),
    "ratio": ("Ratio", "water to one of coffee"),
    "strength": ("Strength", "strength, % TDS"),
    "season": ("Season", "month"),
}
NO_CAUSE = (
    "Bags and seasons differ in many things at once. These pictures show what was noted; they do "
    "not say what made a cup better."
)
NONE_YET = "No cup has been scored yet. Pictures begin with three scored cups of one bag."
FEW = "Too few scored cups to draw: a picture takes three by one taster."
LEAST_DRAWN = 3


class Line(NamedTuple):
    """One line of a month: what, how much, and beside the month before."""

    what: str
    value: str
    compared: str


def lines(month: Month, before: Month, name: str, formats: Formats) -> list[Line]:
    """A month in numbers beside the one before, which is called `name`."""
    counts = (
        ("Brews", month.brews, before.brews),
        ("Bags opened", month.opened, before.opened),
        ("Bags finished", month.finished, before.finished),
        ("Filters used", month.filters, before.filters),
        ("Cups tasted", month.tasted, before.tasted),
        ("Blind tests ended", month.tests_ended, before.tests_ended),
    )
    grams = (
        ("Coffee", month.coffee_g, before.coffee_g),
        ("Water and ice", month.water_g, before.water_g),
    )
    said = [Line(what, str(now), _compared(now, then, name, str)) for what, now, then in counts]
    weighed = [
        Line(what, formats.amount(now, "g", 0), _compared(now, then, name, _grams(formats)))
        for what, now, then in grams
    ]
    return [said[0], *weighed, *said[1:]]


def _grams(formats: Formats) -> Callable[[float], str]:
    return lambda value: formats.amount(value, "g", 0)


def _compared(now: float, then: float, name: str, write: Callable[[float], str]) -> str:
    if write(now) == write(then):
        return f"as in {name}"
    less = "fewer" if write is str else "less"
    return f"{write(abs(now - then))} {'more' if now > then else less} than in {name}"


def spared(month: Month, formats: Formats) -> str:
    """What uses of papers and cloths after their first may have spared; empty where none was."""
    if not month.reused:
        return ""
    uses = f"{month.reused} use{'' if month.reused == 1 else 's'}"
    said = (
        f"{uses} of papers or cloths that had been used before: an estimate of up to as many new "
        "ones not taken"
    )
    if month.spared_g:
        whole = month.weighed == month.reused
        some = "" if whole else f" for the {month.weighed} whose weight is noted"
        said += f", 0 to {formats.amount(month.spared_g, 'g', 1)} of waste{some}"
    return f"{said}. It is none where no new one would have been taken."


def means(now: Sequence[Mean], then: Sequence[Mean], name: str, formats: Formats) -> list[Line]:
    """Each taster's mean liking; how many scores it is of is said beside it."""
    earlier = {one.name: one for one in then}
    return [Line(one.name, _mean(one, formats), _mean_in(earlier.get(one.name), name, formats))
            for one in now]  # fmt: skip


def _mean(one: Mean, formats: Formats) -> str:
    return f"{formats.fixed(one.liking, 1)} over {one.n} score{'' if one.n == 1 else 's'}"


def _mean_in(one: Mean | None, name: str, formats: Formats) -> str:
    return f"{_mean(one, formats)} in {name}" if one else f"no score in {name}"
