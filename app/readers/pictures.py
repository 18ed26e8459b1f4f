"""The pictures of a publication, each only where there is something to draw."""

from collections.abc import Sequence
from itertools import accumulate

from app.brewing.strength.extraction import GOLDEN_CUP_EXTRACTION_PCT, GOLDEN_CUP_TDS_PCT
from app.charts.evidence import funnel
from app.charts.figure import Chart
from app.charts.liking import liking_in_groups
from app.charts.strength_extraction import CupPoint, Region, strength_extraction
from app.charts.trend import Points, trend_chart
from app.formats import JOINED, Formats
from app.journal.blind.evidence import BlindEvidence
from app.journal.blind.plan import DIRECTED, judged_by_controls
from app.journal.gathered import sources
from app.journal.gathered.groups import NAMES, BrewLine, is_number
from app.journal.pairs.pair import Side
from app.readers import words
from app.readers.brewed import MOST_WAYS, Way
from app.sensory.blind.discrimination import chance_band

REGION = Region(GOLDEN_CUP_EXTRACTION_PCT, GOLDEN_CUP_TDS_PCT, "SCAA 2015")
BAND = "The grey band is where guessing stays in 95 of 100 tests of that length."
STRENGTH = "Strength and extraction of cups A and B"
UNITS = {"_g": "g", "_c": "°C", "_s": "min"}  # of settings, by the end of their names
LEAST_SHOWN = 10
LONGEST_NAME = 26


def liking(ways: Sequence[Way], formats: Formats) -> Chart | None:
    """Where two ways or more have scored cups, and fit beside each other."""
    scored = {
        way.name: [line.liking for line in way.lines if line.liking is not None] for way in ways
    }
    if len(ways) > MOST_WAYS or sum(bool(likings) for likings in scored.values()) < 2:
        return None
    rows = [
        [name, str(len(of)), formats.fixed(sum(of) / len(of), 1) if of else None]
        for name, of in scored.items()
    ]
    drawn = liking_in_groups([(_short(name), of) for name, of in scored.items()])
    return Chart("Liking of each way", drawn, ["Way", "Cups#", "Mean liking#"], rows)


def liking_along(label: str, lines: Sequence[BrewLine], formats: Formats) -> Chart | None:
    """Every scored cup by a setting that is a number; where at least two of its values are."""
    name, points = NAMES[label], list[tuple[float, float]]()
    unit = next((unit for ending, unit in UNITS.items() if name.endswith(ending)), "")
    for line in (line for line in lines if line.texts.get(label)):
        value: object = getattr(line.side.setup, name)
        if line.liking is not None and is_number(value, name):
            shown = value / 60 if unit == "min" else formats.shown(value, unit)
            points.append((round(shown, 2), round(line.liking, 2)))
    points.sort()
    if len({x for x, _ in points}) < 2:
        return None
    written = formats.unit(unit)
    x_title = f"{label}, {written}" if written else label
    of = Points("a cup", [x for x, _ in points], [y for _, y in points])
    drawn = trend_chart([of], x_title=x_title, y_title="liking, 1–9", y_range=(0.5, 9.5))
    rows = [[formats.number(x, 2), formats.number(y, 1)] for x, y in points]
    title = f"Liking of the cups by {label}"
    return Chart(title, drawn, [f"{x_title[0].upper()}{x_title[1:]}#", "Liking#"], rows)


def count_against_chance(test: BlindEvidence, attribute: str) -> Chart | None:
    """Right answers (or answers for one cup) trial by trial, over what guessing gets."""
    read = test.read
    if read is None or not read.n or judged_by_controls(test.test):
        return None
    if read.preference:
        hits = [choice.preferred == "A" for choice in read.choices if choice.preferred]
        what = "answers for A"
    else:
        hits = list(read.rights)
        directed = test.test.method in DIRECTED
        what = f"answers for {test.test.more}" if directed else "right answers"
    if not hits:
        return None
    counts = [0, *accumulate(map(int, hits))]
    bands = [
        (0, 0),
        *(chance_band(n, test.guess) for n in range(1, max(len(hits), LEAST_SHOWN) + 1)),
    ]
    drawn = funnel(counts, [low for low, _ in bands], [high for _, high in bands], (), y_title=what)
    rows = [[str(n), str(count), f"{bands[n][0]}–{bands[n][1]}"] for n, count in enumerate(counts)]
    head = ["Trials#", f"{what[0].upper()}{what[1:]}#", "Where chance stays#"]
    asked = f": more {attribute}" if attribute else ""
    title = f"{test.method_name} test{asked}, {what} against chance"
    return Chart(title, drawn, head, rows[1:], BAND)


def strength(a: Side, b: Side, formats: Formats) -> Chart | None:
    """Strength against extraction of two cups, where both are known and by one sum."""
    points, rows = [], []
    for letter, side in (("A", a), ("B", b)):
        made = side.estimate
        if made.strength_pct is None or made.extraction_pct is None:
            return None
        points.append(CupPoint(letter, made.extraction_pct, made.strength_pct))
        about = "" if made.measured else f"≈{JOINED}"
        rows.append(
            [
                letter,
                f"{about}{formats.fixed(made.strength_pct.value, 2)}",
                f"≈{JOINED}{formats.fixed(made.extraction_pct.value, 1)}",
            ]
        )
    if a.estimate.formula != b.estimate.formula:
        return None
    head = ["Cup", "Strength, % TDS#", "Extraction, %#"]
    drawn = strength_extraction(points, REGION)
    return Chart(STRENGTH, drawn, head, rows, "The bars are what is not known of each cup.")


def sources_of(lines: Sequence[BrewLine], drawn: Sequence[Chart], *also: str) -> list[str]:
    """What the numbers of cups and pictures come from, after what `also` names."""
    made = [line.side.estimate for line in lines]
    said = [
        (sources.LIKING, any(line.liking is not None for line in lines)),
        (words.ESTIMATES, any(one.strength_pct and not one.measured for one in made)),
        (words.REGION, any(one.title == STRENGTH for one in drawn)),
    ]
    told = [*also, *(text for text, is_told in said if is_told)]
    return [f"{text.rstrip('.')}." for text in dict.fromkeys(told)]


def _short(name: str) -> str:
    """For an axis, which has little room."""
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1].rstrip()}…"
