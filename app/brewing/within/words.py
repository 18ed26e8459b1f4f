"""Words and figures of the limits: counts, lists, amounts without false precision."""

import re
from collections.abc import Sequence

from app.brewing.sentences import Amount, Sentence

MOST_FIGURES = 2
COUNTS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip
ORDINALS = (
    "", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
    "tenth",
)  # fmt: skip
FIGURE = re.compile(r"\d+(?:\.\d+)?")


def count(number: int) -> str:
    """In words up to twelve, else in figures, of which a large one has two that count.

    >>> count(1), count(40), count(137)
    ('one', '40', 'more than 130')
    """
    if number < len(COUNTS):
        return COUNTS[number]
    tens, rest = divmod(number, 10)
    return f"more than {tens}0" if number > 100 and rest else str(number)


def counted(number: int, one: str, many: str = "") -> str:
    """One brew, 40 brews.

    >>> counted(1, "brew"), counted(2, "flat-bed brewer"), counted(3, "process", "processes")
    ('one brew', 'two flat-bed brewers', 'three processes')
    """
    return f"{count(number)} {one if number == 1 else many or one + 's'}"


def ordinal(number: int) -> str:
    """First to tenth in words, then 11th, 22nd."""
    if number < len(ORDINALS):
        return ORDINALS[number]
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if number % 100 in (11, 12, 13) else ending}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """a; a and b; a, b and c."""
    return f" {last} ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def capital(text: str) -> str:
    """With a large first letter."""
    return text[:1].upper() + text[1:]


def figures(text: str) -> int:
    """How many figures a text has; a ratio such as 1 : 16 is one."""
    return len(FIGURE.findall(text.replace("1 : ", "")))


def joined(lead: str, parts: Sequence[Sentence]) -> Sentence:
    """A sentence of the parts: a lead, a list, a full stop."""
    text = ", ".join(part.template for part in parts)
    return Sentence(f"{lead} {text}.", *(value for part in parts for value in part.parts))


def packed(lead: str, parts: Sequence[Sentence], then: str = "") -> list[Sentence]:
    """The parts in sentences of no more than two figures, each part in the first that has room;
    the later ones begin with `then`, if that is another lead."""
    groups: list[list[Sentence]] = []
    for part in parts:
        room = (one for one in groups if figures(" ".join([*one, part])) <= MOST_FIGURES)
        group = next(room, None)
        if group is None:
            groups.append([part])
        else:
            group.append(part)
    leads = [lead, *(then or lead for _ in groups)]
    return [joined(lead, group) for lead, group in zip(leads, groups, strict=False)]


def mass(value_g: float) -> Amount:
    return Amount(value_g, "g", figures=2)


def time(value_s: float) -> Amount:
    """Seconds, minutes or hours.

    >>> [str(time(seconds)) for seconds in (45, 150, 43200)]
    ['45 s', '2.5 min', '12 h']
    """
    if value_s < 100:
        return Amount(value_s, "s", 0)
    value, unit = (value_s / 3600, "h") if value_s >= 7200 else (value_s / 60, "min")
    return Amount(value, unit, figures=2)


def degrees(value_c: float) -> Amount:
    return Amount(value_c, "°C", 0)


def days(value: float) -> Amount:
    return Amount(value, "day" if value == 1 else "days", figures=2)


def ratio(value: float) -> Amount:
    """The 16 of 1 : 16."""
    return Amount(value, figures=2)


def number(value: float) -> Amount:
    return Amount(value, digits=0)
