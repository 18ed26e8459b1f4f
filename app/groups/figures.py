"""The charts of two groups: one taster's scores, blind and sighted ones apart."""

from collections.abc import Sequence
from datetime import date

from app.charts.figure import Chart
from app.charts.groups import Point, Strip, by_use, over_days, strips
from app.formats import Formats, ordinal
from app.journal.groups.compared import Compared, Stratum
from app.journal.groups.cups import CupRow

MOST_DRAWN = 80  # of each group, the latest
LEAST_DRAWN = 3  # fewer are said in words
NO_PICTURE = "Charts are drawn from three scored cups on, when there is at least one of A and of B."


def shown_strata(compared: Compared, taster_id: int | None) -> list[Stratum]:
    """The blind and the sighted cups of the taster asked for, or else of who has most days."""
    tasters = [one.taster_id for one in compared.strata]
    chosen = taster_id if taster_id in tasters else next(iter(tasters), None)
    by_taster = any(one.name for one in compared.strata)
    return [one for one in compared.strata if one.taster_id == chosen or not by_taster]


def charts(shown: Sequence[Stratum], formats: Formats) -> dict[str, Chart]:
    """Charts by id; none where there is too little to draw."""
    cups = [(letter, cup) for one in shown for letter, cup in _latest(one)]
    if len(cups) < LEAST_DRAWN or len({letter for letter, _ in cups}) < 2:
        return {}
    whose = f", by {shown[0].name}" if shown[0].name else ""
    drawn = {
        "strips": _strips(shown, whose, formats),
        "over-days": _over_days(cups, whose, formats),
    }
    if any(cup.use for _, cup in cups):
        drawn["by-use"] = _by_use(cups, whose, formats)
    return drawn


def _latest(one: Stratum) -> list[tuple[str, CupRow]]:
    return [("A", cup) for cup in one.a.cups[-MOST_DRAWN:]] + [
        ("B", cup) for cup in one.b.cups[-MOST_DRAWN:]
    ]


def _strips(shown: Sequence[Stratum], whose: str, formats: Formats) -> Chart:
    columns, rows = [], []
    for one in shown:
        kind = "blind" if one.blind else "sighted"
        for letter, side in (("A", one.a), ("B", one.b)):
            if side.count:
                scores = [cup.liking for cup in side.cups[-MOST_DRAWN:]]
                columns.append(Strip(f"{letter}, {kind}", letter, scores, side.mean))
                numbers = [formats.fixed(number, 1) for number in (side.mean, side.spread)]
                rows.append([letter, kind, str(side.count), str(side.days), *numbers])
    head = ["Group", "How", "Cups#", "Days#", "Mean of days#", "Spread of days#"]
    left_out = any(max(one.a.count, one.b.count) > MOST_DRAWN for one in shown)
    words = f"The latest {MOST_DRAWN} scores of each group are drawn." if left_out else ""
    return Chart(f"Every score{whose}", strips(columns), head, rows, words)


def _over_days(cups: Sequence[tuple[str, CupRow]], whose: str, formats: Formats) -> Chart:
    points = [Point(letter, cup.brewed_on.isoformat(), cup.liking) for letter, cup in cups]
    by_day: dict[date, dict[str, list[int]]] = {}
    for letter, cup in sorted(cups, key=lambda one: one[1].brewed_on):
        by_day.setdefault(cup.brewed_on, {}).setdefault(letter, []).append(cup.liking)
    rows = [[formats.day(day), *(_scores(own.get(letter, ())) for letter in "AB")]
            for day, own in by_day.items()]  # fmt: skip
    return Chart(f"Over time{whose}", over_days(points), ["Day", "A#", "B#"], rows)


def _scores(scores: Sequence[int]) -> str | None:
    return ", ".join(map(str, scores)) or None


def _by_use(cups: Sequence[tuple[str, CupRow]], whose: str, formats: Formats) -> Chart:
    known = [(letter, cup.use, cup.liking) for letter, cup in cups if cup.use]
    points = [Point(letter, use, liking) for letter, use, liking in known]
    rows = []
    for use in sorted({use for _, use, _ in known}):
        own = [[liking for letter, at, liking in known if (letter, at) == (of, use)] for of in "AB"]
        means = [formats.fixed(sum(of) / len(of), 1) if of else None for of in own]
        rows.append([ordinal(use), str(sum(map(len, own))), *means])
    head = ["Use", "Cups#", "Mean of A#", "Mean of B#"]
    return Chart(f"By use of the filter{whose}", by_use(points), head, rows)
