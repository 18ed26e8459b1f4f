"""How the cups were brewed: what all of them share, and a column for each way where they part."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.brewing.tolerances import TOLERANCES
from app.formats import JOINED, Formats
from app.journal.gathered.groups import BrewLine, is_number
from app.journal.pairs.setup import LABELS
from app.readers.cups import STEPS, of_setting
from app.readers.publication import Part, Table

MOST_WAYS = 4
MOST_TEXTS = 3
WORDS = {
    "bag": "coffee",
    "days of rest": "rest since roasting",
    "use of the filter": "use of the filter (the 1st is fresh)",
    "steps of the recipe": "recipe",
}
ZERO_IS_NONE = ("bypass_g", "ice_g")
PARTED, ALL = "What differed", "How it was brewed"
NOT_KNOWN = "Which brews these were was not noted."
ESTIMATED = "estimated"


@dataclass(frozen=True, slots=True)
class Way:
    """Cups that were brewed in one of the ways that are compared, and what that way is called."""

    name: str
    lines: Sequence[BrewLine]


@dataclass(frozen=True, slots=True)
class _Row:
    """A setting: what it reads for each way, and for all cups together where they agree."""

    label: str
    cells: Sequence[str]
    shared: str


def how_brewed(ways: Sequence[Way], formats: Formats) -> Part:
    """Says so where no cup is known. More ways than fit beside each other are told as one."""
    ways = [way for way in ways if way.lines]
    if not ways:
        return Part(ALL, [NOT_KNOWN])
    if len(ways) > MOST_WAYS:
        ways = [Way("", [line for way in ways for line in way.lines])]
    rows = [row for name in LABELS if (row := _row(name, ways, formats)) is not None]
    rows = [*rows, *_steps(ways), *_of_cups(ways, formats)]
    heads = [way.name for way in ways]
    apart = [row for row in rows if not row.shared]
    return Part(
        ALL,
        [_counted(ways)],
        facts=[(_capital(row.label), row.shared) for row in rows if row.shared],
        table=Table([PARTED, *heads], [[_capital(row.label), *row.cells] for row in apart])
        if apart
        else None,
    )


def _counted(ways: Sequence[Way]) -> str:
    counts = [len(way.lines) for way in ways]
    if len(ways) == 1:
        return f"{_brews(counts[0])}."
    each = "; ".join(f"{way.name}: {_brews(len(way.lines))}" for way in ways)
    return f"{_capital(each)}."


def _brews(count: int) -> str:
    return "1 brew" if count == 1 else f"{count} brews"


def _row(name: str, ways: Sequence[Way], formats: Formats) -> _Row | None:
    """None for what was noted of no cup, says nothing, or stands in the head of its column."""
    label = LABELS[name]
    cells = [_cell(name, label, way.lines, formats) for way in ways]
    every = [line for way in ways for line in way.lines]
    if not any(cells) or _is_nothing(name, every) or _is_in_names(label, cells, ways):
        return None
    whole = _cell(name, label, every, formats)
    same = len(ways) == 1 or _is_same(name, every) or len(set(cells)) == 1
    word = WORDS.get(label, label)
    return _Row(word, [cell or "not noted" for cell in cells], whole if same else "")


def _is_in_names(label: str, cells: Sequence[str], ways: Sequence[Way]) -> bool:
    """Whether the heads of the columns say it already."""
    told = zip((of_setting(label, cell) for cell in cells), ways, strict=True)
    return all(f", {text}, " in f", {way.name}, " for text, way in told)


def _is_nothing(name: str, lines: Sequence[BrewLine]) -> bool:
    """Neither bypass nor ice; upright, where a brewer can stand in no other way."""
    values = [getattr(line.side.setup, name) for line in lines]
    if name in ZERO_IS_NONE:
        return not any(values)
    pressed = any(line.side.row.kind == "pressed immersion" for line in lines)
    return name == "flipped" and not any(values) and not pressed


def _is_same(name: str, lines: Sequence[BrewLine]) -> bool:
    """Whether numbers lie within what scale, kettle and hand can keep to."""
    values: list[object] = [getattr(line.side.setup, name) for line in lines]
    numbers = [value for value in values if is_number(value, name)]
    if len(numbers) < len(values) or name not in TOLERANCES:
        return False
    return max(numbers) - min(numbers) <= TOLERANCES[name] + 1e-9


def _cell(name: str, label: str, lines: Sequence[BrewLine], formats: Formats) -> str:
    known = [line for line in lines if line.texts.get(label)]
    if not known:
        return ""
    values: list[object] = [getattr(line.side.setup, name) for line in known]
    numbers = [value for value in values if is_number(value, name)]
    if len(numbers) == len(values):
        in_order = sorted(zip(numbers, (line.texts[label] for line in known), strict=True))
        text = span(in_order[0][1], in_order[-1][1])
    else:
        texts = list(dict.fromkeys(line.texts[label] for line in known))
        more = len(texts) - MOST_TEXTS
        text = "; ".join(texts[:MOST_TEXTS]) + (f"; and {more} more" if more > 0 else "")
    left = len(lines) - len(known)
    return f"{text} (not noted in {left} of {len(lines)})" if left else text


def span(low: str, high: str) -> str:
    """17.5 g; 17.5 to 18 g: the unit once."""
    if low == high:
        return low
    number, _, unit = low.replace(" ", JOINED).partition(JOINED)
    same_unit = unit and high.replace(" ", JOINED).endswith(f"{JOINED}{unit}")
    return f"{number if same_unit else low} to {high}"


def _steps(ways: Sequence[Way]) -> list[_Row]:
    """The steps of the recipes, where each way was brewed by one."""
    each = [list(dict.fromkeys(line.texts.get(STEPS, "") for line in way.lines)) for way in ways]
    if any(len(texts) > 1 for texts in each) or not any(texts[0] for texts in each):
        return []
    cells = [texts[0] or "no recipe noted" for texts in each]
    return [_Row("steps", cells, cells[0] if len(set(cells)) == 1 else "")]


def _of_cups(ways: Sequence[Way], formats: Formats) -> list[_Row]:
    """Ratio and strength, which follow from what was set."""
    every = [line for way in ways for line in way.lines]
    rows = []
    for label, told in (("ratio, dose to brew water", _ratio), ("strength in the cup", _strength)):
        cells, whole = [told(way.lines, formats) for way in ways], told(every, formats)
        if whole:
            same = len(set(cells)) == 1
            rows.append(_Row(label, [cell or "not known" for cell in cells], whole if same else ""))
    return rows


def _ratio(lines: Sequence[BrewLine], formats: Formats) -> str:
    ratios = sorted(line.side.estimate.ratio for line in lines)
    low, high = (f"1{JOINED}:{JOINED}{formats.fixed(end, 1)}" for end in (ratios[0], ratios[-1]))
    return low if low == high else f"{low} to {high}"


def _strength(lines: Sequence[BrewLine], formats: Formats) -> str:
    """Measured values stand plain; estimates say so, with all that they may be."""
    known = [line.side.estimate for line in lines if line.side.estimate.strength_pct]
    measured = sorted(one.strength_pct.value for one in known if one.measured and one.strength_pct)
    guessed = [one.strength_pct for one in known if not one.measured and one.strength_pct]
    said = []
    if measured:
        low, high = (formats.fixed(end, 2) for end in (measured[0], measured[-1]))
        said.append(f"{low if low == high else f'{low} to {high}'}{JOINED}% TDS, measured")
    if guessed:
        middle = sum(one.value for one in guessed) / len(guessed)
        least, most = min(one.low for one in guessed), max(one.high for one in guessed)
        ends = f"{formats.fixed(least, 2)} to {formats.fixed(most, 2)}"
        said.append(f"≈{JOINED}{formats.fixed(middle, 2)}{JOINED}% TDS ({ends}), {ESTIMATED}")
    return "; ".join(said)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
