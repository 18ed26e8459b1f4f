"""The three charts of a pair, each with its table and what it has to say."""

from collections.abc import Sequence
from statistics import fmean

from app.brewing.strength.estimate import Estimate
from app.brewing.strength.extraction import GOLDEN_CUP_EXTRACTION_PCT, GOLDEN_CUP_TDS_PCT
from app.charts.figure import Chart, Triple
from app.charts.just_right import just_right
from app.charts.over_time import Point, over_time
from app.charts.strength_extraction import CupPoint, Region, strength_extraction, two_sums
from app.formats import JOINED, Formats
from app.journal.estimates import estimate_of
from app.journal.pairs.around import LATEST
from app.journal.pairs.brews import BrewRow
from app.journal.pairs.pair import Pair, Side
from app.journal.tastings import TastingRow
from app.sensory.scores.scales import JUST_RIGHT_ATTRIBUTES

REGION = Region(GOLDEN_CUP_EXTRACTION_PCT, GOLDEN_CUP_TDS_PCT, "SCAA 2015")
OVER = {"bag": "bag_id", "recipe": "recipe_id"}


def strength_chart(pair: Pair, formats: Formats) -> Chart | None:
    """Strength against extraction of the cups for which both are known.

    The published box stands there only where both extractions come from one sum.
    """
    points, rows = [], []
    for letter, estimate in (("A", pair.a.estimate), ("B", pair.b.estimate)):
        strength, extraction = estimate.strength_pct, estimate.extraction_pct
        if strength and extraction:
            points.append(CupPoint(letter, extraction, strength))
        said = _strength(strength, estimate.measured, formats)
        rows.append([letter, said, _range(extraction, formats, 1)])
    if not points:
        return None
    head = ["Cup", "Strength, % TDS#", "Extraction, %#"]
    alike = pair.a.estimate.formula == pair.b.estimate.formula
    figure = strength_extraction(points, REGION) if alike else two_sums(points, _named_sums(pair))
    return Chart("Strength against extraction", figure, head, rows)


def _named_sums(pair: Pair) -> str:
    """On the chart itself, since it is read without the words below."""
    return f"A by {pair.a.estimate.formula}, B by {pair.b.estimate.formula}: two different sums"


def just_right_chart(pair: Pair, formats: Formats) -> Chart | None:
    """Means over the tasters of both cups; if nobody tasted both, over everyone."""
    of_a, of_b = _scaled(pair.a), _scaled(pair.b)
    both = {row.taster_id for row in of_a} & {row.taster_id for row in of_b}
    if both:
        of_a, of_b = ([row for row in rows if row.taster_id in both] for rows in (of_a, of_b))
    a, b = _profile(of_a), _profile(of_b)
    if not of_a and not of_b:
        return None
    rows: list[list[str | None]] = [
        [word.capitalize(), _score(ours, formats), _score(theirs, formats)]
        for word, ours, theirs in zip(JUST_RIGHT_ATTRIBUTES, a, b, strict=True)
    ]
    same = "By the same tasters." if both else "Nobody answered for both, so two tongues differ."
    count = f"{len(of_a)} of A and {len(of_b)} of B."
    head = ["Scale (3 is just right)", "A#", "B#"]
    figure = just_right(JUST_RIGHT_ATTRIBUTES, a, b)
    words = f"{_whose([*of_a, *of_b])} Tastings: {count} {same}"
    return Chart("Just right, A against B", figure, head, rows, words)


def _whose(tastings: Sequence[TastingRow]) -> str:
    """Who is behind the means, and whether blind and sighted cups are in them."""
    names = list(dict.fromkeys(row.taster_name for row in tastings))
    of = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}, taken together"
    how = {True: "tasted blind", False: "sighted"}
    blind = " and ".join(dict.fromkeys(how[row.blind] for row in tastings))
    return f"Means of {of}: {blind}."


def over_time_chart(pair: Pair, over: str, formats: Formats) -> Chart | None:
    """The latest brews of both bags or both recipes, oldest first, with A and B marked."""
    key = OVER[over]
    owners = {"A": getattr(pair.a.row, key), "B": getattr(pair.b.row, key)}
    series, rows = [], []
    for owner in dict.fromkeys(owners.values()):
        if owner is not None:
            of = f"{over} of {' and '.join(x for x, one in owners.items() if one == owner)}"
            brews = [row for row in pair.around if getattr(row, key) == owner][-LATEST:]
            points = [_point(row, estimate_of(row.cup, pair.learned), pair) for row in brews]
            series.append((of, points))
            rows += [
                [
                    formats.day(row.brewed_on),
                    of,
                    formats.fixed(point.ratio, 1),
                    _strength(point.strength_pct, point.measured, formats),
                    formats.number(point.liking, 1),
                ]
                for row, point in zip(brews, points, strict=True)
            ]
    if not series:
        return None
    sides = {"A": pair.a, "B": pair.b}
    cups = {letter: _point(side.row, side.estimate, pair) for letter, side in sides.items()}
    head = ["Day", "Of", "Ratio, 1 : n#", "Strength, % TDS#", "Liking#"]
    title, words = "Ratio, strength and liking over time", f"At most the latest {LATEST} of each."
    return Chart(title, over_time(series, cups), head, rows, words)


def _point(row: BrewRow, estimate: Estimate, pair: Pair) -> Point:
    by_taster = pair.likings.get(row.id)
    liking = fmean(by_taster.values()) if by_taster else None
    day, strength = row.brewed_on.isoformat(), estimate.strength_pct
    return Point(day, estimate.ratio, strength, estimate.measured, liking)


def _scaled(side: Side) -> list[TastingRow]:
    """Tastings that say something on a just-right scale."""
    scales = [f"jar_{word}" for word in JUST_RIGHT_ATTRIBUTES]
    return [row for row in side.tastings if any(getattr(row, s) is not None for s in scales)]


def _profile(tastings: Sequence[TastingRow]) -> list[float | None]:
    means: list[float | None] = []
    for word in JUST_RIGHT_ATTRIBUTES:
        steps = [getattr(row, f"jar_{word}") for row in tastings]
        known = [step for step in steps if step is not None]
        means.append(fmean(known) if known else None)
    return means


def _score(value: float | None, formats: Formats) -> str | None:
    return None if value is None else formats.number(value, 1)


def _strength(strength: Triple | None, measured: bool, formats: Formats) -> str | None:
    if measured and strength:
        return formats.fixed(strength[0], 2)
    return _range(strength, formats, 2)


def _range(estimated: Triple | None, formats: Formats, digits: int) -> str | None:
    if estimated is None:
        return None
    value, low, high = estimated
    fixed = formats.fixed
    return f"≈{JOINED}{fixed(value, digits)} ({fixed(low, digits)}–{fixed(high, digits)})"
