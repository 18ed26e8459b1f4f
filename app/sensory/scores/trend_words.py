"""A trend in words: what was found, what it does not say, when it is read next; and its sums."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.sensory.scores.marks import ALLOWED, SPENT_BY
from app.sensory.scores.trend import LEAST_DAYS, Look, Trend

STEPS = 10  # a change is said of so many days or uses
QUARTERS = {0.25: "a quarter of {}", 0.5: "half {}", 0.75: "three quarters of {}"}
PARTS = {0.25: " and a quarter", 0.5: " and a half", 0.75: " and three quarters"}
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")
STEADY = "That does not make it steady."
NO_EXPERIMENT = (
    "This is a pattern in a journal, not an experiment: it does not say what made it so."
)


@dataclass(frozen=True)
class Measured:
    """What was measured, and along what: `axis` is "days" or "uses".

    `points` is the word for one step of a scale of whole steps ("point", "step"); other values are
    written with `digits` decimals and a `unit`. `day` names a day that counts ("day with a score"),
    `end` when there will be no more ("when the bag is finished").
    """

    name: str
    day: str
    axis: str
    end: str
    points: str = ""
    unit: str = ""
    digits: int = 0

    def size(self, change: float) -> str:
        """The size of a change: "half a point", "one and a quarter points", "0.06 % TDS"."""
        if not self.points:
            least = 10.0**-self.digits
            less = "less than " if abs(change) < least / 2 else ""
            return f"{less}{max(abs(change), least):.{self.digits}f} {self.unit}"
        quarters = min(round(4 * abs(change)) / 4, len(NUMBERS) - 1)
        whole, part = int(quarters), quarters % 1
        if not quarters:
            return f"less than a quarter of a {self.points}"
        if not whole:
            return QUARTERS[part].format(f"a {self.points}")
        more = PARTS[part] if part else ""
        return f"{NUMBERS[whole]}{more} {self.points}{'s' if quarters > 1 else ''}"

    def days(self, number: int) -> str:
        """Such as "22 days with a score"."""
        return f"{number} {self.day if number == 1 else self.day.replace('day', 'days', 1)}"


@dataclass(frozen=True)
class Said:
    """`sentences` for everybody, `sums` for who wants to know how."""

    sentences: tuple[str, ...]
    sums: str | None = None


def say(trend: Trend, what: Measured, moved: Sequence[str] = (), beside: str = "") -> Said:
    """A trend in words; `moved` are settings that moved along with the days, and `beside` what else
    belongs to it once it was read."""
    if not trend.looks:
        return Said((_not_yet(trend, what),))
    last, found = trend.looks[-1], trend.found
    if not found:
        nothing = f"No direction is clear in {what.name} ({what.days(last.days)})."
        first = [nothing, _capital(_either_way(last, what)), STEADY]
    elif last.way == found.way:
        first = _found(last, what)
    else:
        again = " ".join(_found(last, what)) if last.way else _either_way(last, what)
        first = [*_found(found, what), f"Read again after {what.days(last.days)}: {again}"]
    aside = [*([_together(moved, what)] if moved else []), *filter(None, [beside])]
    plain = [NO_EXPERIMENT] if found else []
    return Said((*first, *aside, *plain, *_next(trend, what)), _sums(trend, what))


def _not_yet(trend: Trend, what: Measured) -> str:
    first, *_ = SPENT_BY
    if trend.days >= (LEAST_DAYS if trend.ended else first):
        return f"All of these stand at one place of the {what.axis}, so there is no direction."
    if trend.ended:
        return (
            f"Too little to say whether {what.name} moved: {what.days(trend.days)}, and a "
            f"direction is not read from fewer than {LEAST_DAYS}."
        )
    return (
        f"Too early to say whether {what.name} moves. It is read after {what.days(first)} "
        f"({trend.days} so far), or {what.end}; looking in between changes nothing."
    )


def _found(look: Look, what: Measured) -> list[str]:
    """A direction, its size, and the sizes that fit as well."""
    over, scale = _over(look, what)
    size = _about(what.size(look.slope * scale))
    said = f"{_capital(what.name)} {look.way} by {size} {over} ({what.days(look.days)})."
    least, most = (look.low, look.high) if look.way == "rose" else (look.high, look.low)
    small = what.size((least or 0.0) * scale)
    if most is None:
        return [said, f"It may be anything from {small} on."]
    large = what.size(most * scale)
    return [said, f"It may be anything from {small} to {large}."] if small != large else [said]


def _about(size: str) -> str:
    return size if size.startswith("less") else f"about {size}"


def _either_way(look: Look, what: Measured) -> str:
    over, scale = _over(look, what)
    if look.low is None or look.high is None:
        return "so few days would fit a fall or a rise of almost any size."
    fall, rise = (what.size(end * scale) for end in (look.low, look.high))
    return f"a fall of up to {fall} {over} would fit, and so would a rise of up to {rise}."


def _together(moved: Sequence[str], what: Measured) -> str:
    named = " and ".join([", ".join(moved[:-1]), moved[-1]] if len(moved) > 1 else moved)
    return (
        f"What was set moved along with the {what.axis} too ({named}), so their part and that of "
        f"the {what.axis} cannot be told apart."
    )


def _next(trend: Trend, what: Measured) -> list[str]:
    if trend.ended:
        return []
    if trend.next_mark is None:
        return [f"It is read once more {what.end}."]
    return [
        f"It is read next after {what.days(trend.next_mark)} ({trend.days} so far), or {what.end}."
    ]


def _over(look: Look, what: Measured) -> tuple[str, float]:
    """Over how much of the axis a change is said, and how many of its units that is."""
    span = look.last - look.first
    if span >= STEPS:
        return f"in ten {what.axis}", STEPS
    return f"over these {span + 1:.0f} {what.axis}", span


def _sums(trend: Trend, what: Measured) -> str:
    look = trend.looks[-1]
    ends = ["without end" if end is None else _signed(end) for end in (look.low, look.high)]
    again = f", read {len(trend.looks)} times" if len(trend.looks) > 1 else ""
    return (
        f"One value a day from {look.cups} cups{again}. Kendall's tau-b is "
        f"{_signed(look.tau)}; it lies {_signed(look.z)} standard deviations from none, and "
        f"{look.bound:.2f} are needed. The variance was taken {look.widened:.1f} times as "
        f"large, as neighbouring days resemble each other by {look.resembles:.1f} (Hamed and "
        f"Rao 1998). The change is {_signed(look.slope)} for one of the {what.axis}, with a "
        f"range of {ends[0]} to {ends[1]} that allows for rounding. False alarms over all marks "
        f"together: at most {ALLOWED:.2f}, spent over marks fixed beforehand (Lan and DeMets "
        "1983). The dotted curve is a guide for the eye (LOWESS)."
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _signed(value: float) -> str:
    return f"{value + 0.0:.2g}".replace("-", "−")
