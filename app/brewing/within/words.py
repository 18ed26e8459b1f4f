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


def ordinals(*numbers: int) -> list[str]:
    """First to tenth in words; in figures if one of them is beyond.

    >>> ordinals(1, 9), ordinals(1, 22)
    (['first', 'ninth'], ['1st', '22nd'])
    """
    if max(numbers) < len(ORDINALS):
        return [ORDINALS[number] for number in numbers]
    endings = {1: "st", 2: "nd", 3: "rd"}
    teens = (11, 12, 13)
    return [
        f"{number}{'th' if number % 100 in teens else endings.get(number % 10, 'th')}"
        for number in numbers
    ]


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


def mass(*values_g: float) -> list[Amount]:
    return [Amount(value, "g", figures=2) for value in values_g]


def time(*values_s: float) -> list[Amount]:
    """Seconds, minutes or hours, all in one unit; `values_s` rise.

    >>> [str(time(seconds)[0]) for seconds in (45, 150, 43200)]
    ['45 s', '2.5 min', '12 h']
    >>> [str(value) for value in time(90, 138)], [str(value) for value in time(45, 138)]
    (['1.5 min', '2.3 min'], ['45 s', '140 s'])
    """
    least, greatest = values_s[0], values_s[-1]
    unit, seconds = "h", 3600
    if greatest < 7200 or least < 1800:
        unit, seconds = "min", 60
    if greatest < 100 or (least < 60 and greatest < 600):
        unit, seconds = "s", 1
    return [Amount(value / seconds, unit, 2 * (unit != "s"), figures=2) for value in values_s]


def degrees(*values_c: float) -> list[Amount]:
    return [Amount(value, "°C", 0) for value in values_c]


def days(*values: float) -> list[Amount]:
    return [Amount(value, "day" if value == 1 else "days", figures=2) for value in values]


def ratio(*values: float) -> list[Amount]:
    """The 16 of 1 : 16."""
    return [Amount(value, figures=2) for value in values]


def number(*values: float) -> list[Amount]:
    return [Amount(value, digits=0) for value in values]
