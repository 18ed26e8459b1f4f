"""Every kind of figure the project draws, full, sparse and at its edges."""

from __future__ import annotations

from collections.abc import Callable
from math import inf, nan

from app.charts.contour import Grid, TriedAt, contour
from app.charts.curves import caffeine_day, ice_time, steep_time
from app.charts.evidence import Boundary, evidence_path, funnel, power
from app.charts.figure import Figure, axis, note, scatter
from app.charts.groups import Point as GroupPoint
from app.charts.groups import Strip, by_use, over_days, strips
from app.charts.just_right import just_right
from app.charts.liking import liking_in_groups
from app.charts.over_time import Point, over_time
from app.charts.predicted_measured import predicted_measured
from app.charts.small import small
from app.charts.strength_extraction import CupPoint, Region, strength_extraction, two_sums
from app.charts.trend import Points, TrendLine, trend_chart
from app.charts.worths import worths

WORDS = ("strength", "sweetness", "acidity", "bitterness", "body", "clarity")
LONG = ("stirred once after the bloom", "Grandma’s Nordwesthanglagenparzelle", "<none>", "cloth")
AXES = {"x_title": "rest, days", "y_title": "strength, % TDS"}


def figures() -> dict[str, Figure]:
    return {
        **_curves(),
        **_tests(),
        **_cups(),
        **_days(),
        **_trends(),
        **_groups(),
        **_small(),
        **_contours(),
        **_edges(),
    }


def _curves() -> dict[str, Figure]:
    minutes = [n / 8 for n in range(49)]
    band = [(20 - 14 / (1 + m), 18 - 13 / (1 + m), 23 - 15 / (1 + m)) for m in minutes]
    brews = [(2.2 + n / 9, (17.0 + n / 4, 16.2 + n / 4, 18.1 + n / 4)) for n in range(7)]
    clock = [f"2026-03-05 {7 + n // 3:02d}:{20 * (n % 3):02d}" for n in range(48)]
    left = [(180 - 3.0 * n, 140 - 2.0 * n, 230 - 3.5 * n) for n, _ in enumerate(clock)]
    cups = [clock[0], clock[7]]
    return {
        "steep": steep_time(minutes, band, brews, [(3.4, "3:24"), (4.4, "4:24")]),
        "steep-late": steep_time(minutes, band, [], [(5.9, "5:54")]),
        "caffeine": caffeine_day(clock, left, clock[9], cups),
        "caffeine-none": caffeine_day(clock[:1], [(0.0, 0.0, 0.0)], clock[0], []),
        "caffeine-late": caffeine_day(clock, left, clock[-1], cups),
        "ice": ice_time([0, 10, 20], [1.0, 0.912, 0.9], [0, 0, 3.1], gone_after=10, degrees="°F"),
        "ice-none": ice_time([0, 10], [1.0, 1.0], [5, 8], gone_after=None),
    }


def _small() -> dict[str, Figure]:
    months = ([1, 92, 183, 275], ["Jan", "Apr", "Jul", "Oct"])
    return {
        "small-rest": small([4, 9, 9, 31], [6, 7, 3, 9], "rest, days", (2, 33)),
        "small-one-place": small([2, 2, 2], [1, 9, 5], "use of the filter", (1.5, 2.5)),
        "small-year": small([2.0, 180.0, 366.0], [6, 7, 8], "day of the brew", (0, 367), months),
    }


def _contours() -> dict[str, Figure]:
    x, y = [88 + n / 4 for n in range(25)], [80 + 2.0 * n for n in range(21)]
    titles = {"x_title": "water temperature, °C", "y_title": "steep, s"}

    def over(height: Callable[[float, float], float]) -> Grid:
        return Grid(x, y, [[height((a - 91) / 3, (b - 100) / 20) for a in x] for b in y])

    corners = [(88, 80), (94, 80), (88, 120), (94, 120), (91, 100)]
    tried = [TriedAt(*at, f"{4 + n / 2:.1f}") for n, at in enumerate(corners)]
    saddle, hill = over(lambda a, b: 6 + 3 * a * b), over(lambda a, b: 8 - 2 * a * a - b * b)
    return {
        "contour": contour(over(lambda a, b: 6 + a + 0.4 * b * b), tried, (94, 120), **titles),
        "contour-saddle": contour(saddle, tried, (88, 80), **titles),
        "contour-rings": contour(hill, [*tried, TriedAt(97, 65, "2.0")], (91, 100), **titles),
        "contour-flat": contour(over(lambda *_: 6.0), tried, None, **titles),
    }


def _groups() -> dict[str, Figure]:
    scores = [3 + n * n % 7 for n in range(60)]
    columns = [
        Strip(f"{letter}, {how}", letter, scores[::step], 6.2)
        for how, step in (("sighted", 1), ("blind", 7))
        for letter in "AB"
    ]
    days = [GroupPoint("AB"[n % 2], f"2026-03-{1 + n % 28:02d}", s) for n, s in enumerate(scores)]
    uses = [GroupPoint("AB"[n % 3 == 0], 1 + n % 17, score) for n, score in enumerate(scores)]
    return {
        "group-strips": strips(columns),
        "group-strips-few": strips([Strip("A, blind", "A", [7, 7], None)]),
        "group-days": over_days(days),
        "group-uses": by_use(uses),
        "worths": worths(
            LONG, [(50.0, 4.0, 96.0), (71.5, 40.0, 90.0), (30.0, 2.0, 45.0), (9, 1, 40)]
        ),
        "worths-two": worths(["Long steep", "Short"], [(72.0, 50.5, 88.0), (28.0, 12.0, 49.5)]),
        "group-uses-few": by_use(uses[:5]),
    }


def _tests() -> dict[str, Figure]:
    sizes = list(range(0, 101, 5))
    path = [1.1**n * (0.7 if n % 3 else 1.2) for n in range(40)]
    least = [None, None, None, *(float(n // 2 + 3) for n in range(3, 31))]
    most = [None] * 8 + [float(n // 4) for n in range(8, 31)]
    low, high = [n // 5 for n in range(31)], [n // 2 + 2 for n in range(31)]
    lines = [Boundary("line of difference", least), Boundary("close enough", most)]
    return {
        "power": power(sizes, [100 * (1 - 0.96**s) for s in sizes], matters_pct=40, x_title="%"),
        "evidence": evidence_path(path, what="difference", shown_at=20, close=path, close_at=10),
        "evidence-far": evidence_path([1e-9, 1e9], what="preference", shown_at=20),
        "funnel": funnel([0, 1, 1, 2, 3], low, high, lines, y_title="answers for A"),
        "funnel-none": funnel([0], [0, 0, 0], [0, 1, 2], [], y_title="right answers"),
    }


def _cups() -> dict[str, Figure]:
    region = Region((18.0, 22.0), (1.15, 1.35), "SCAA 2015")
    a = CupPoint("A", (20.0, 18.0, 23.0), (1.2, 1.1, 1.4))
    b = CupPoint("B", (16.0, 15.5, 16.5), (1.6, 1.57, 1.63))
    told = "A by immersion, B by percolation with bypass: two different sums"
    guesses = [(1.1 + n / 40, 1.0 + n / 40, 1.3 + n / 40) for n in range(30)]
    measured = [1.15 + n / 50 for n in range(30)]
    return {
        "strength": strength_extraction([a, b], region),
        "strength-same": two_sums([CupPoint("A", (20.0,) * 3, (1.2,) * 3)], "one sum"),
        "two-sums": two_sums([a, b], told),
        "just-right": just_right(WORDS, [1, 3, 4.5, 5, 3, 2], [3, 3, 1, 5, None, 2.5]),
        "liking": liking_in_groups([("no stir", [5, 6, 6, 7]), ("one stir", [6.5, 7])]),
        "liking-many": liking_in_groups([(name, [n + 2.0]) for n, name in enumerate(LONG)]),
        "liking-one": liking_in_groups([(" ".join(LONG), [5.0])]),
        "liking-none": liking_in_groups([]),
        "predicted": predicted_measured(measured, guesses, guesses),
        "predicted-none": predicted_measured([], [], []),
    }


def _days() -> dict[str, Figure]:
    def points(days: list[str]) -> list[Point]:
        return [
            Point(day, 15.5 + n % 5 / 2, (1.2 + n % 7 / 50, 1.1, 1.4), n % 3 == 0, 4.0 + n % 5)
            for n, day in enumerate(days)
        ]

    year = [f"2026-{1 + n // 20:02d}-{1 + n % 20:02d}" for n in range(200)]
    stray = points(year[:40])
    stray[7] = stray[7]._replace(ratio=90.0, strength_pct=(9.0, 8.0, 9.9))
    few = ["2026-06-28", "2026-06-28", "2026-06-29", "2026-07-01"]
    cups = {"A": points(few)[0], "B": points(few)[3]}
    turn = ["2025-12-20", "2026-01-03", "2026-01-20"]
    return {
        "over-time": over_time([("bag of A", points(year)), ("bag of B", points(few))], {}),
        "over-time-few": over_time([("bag of A and B", points(few))], cups),
        "over-time-stray": over_time([("bag", stray)], {}),
        "over-time-one": over_time([("bag", points(few[:1]))], {}),
        "over-time-new-year": over_time([("bag", points(turn))], {}),
        "over-time-years": over_time([("bag", points(["2019-02-03", "2026-03-04"]))], {}),
        "over-time-ages": over_time([("bag", points(["0001-01-01", "9999-12-31"]))], {}),
        "over-time-none": over_time([("bag", [])], {}),
    }


def _trends() -> dict[str, Figure]:
    line = TrendLine(((4, 6.0), (9, 7.25)), clear=False, guide=[(4, 6.1), (9, 5.9)])
    sighted, blind = Points("sighted", [4, 6, 9], [6, 7, 5], line=line), Points("blind", [6], [8])
    many = list(range(1000))
    ranged = Points("estimated", many, [1.2 + n % 9 / 50 for n in many], [1.1] * 1000, [1.5] * 1000)
    stray = Points("estimated", many[:20], [1.2] * 9 + [40.0] + [1.3] * 10, [1.1] * 20, [50.0] * 20)
    huge = Points("measured", [1, 2, 3], [1e-7, 3.0, 4e12])
    return {
        "trend": trend_chart([sighted, blind], y_range=(0.5, 9.5), **AXES),
        "trend-thousand": trend_chart([ranged], **AXES),
        "trend-stray": trend_chart([stray], **AXES),
        "trend-one": trend_chart([Points("measured", [12], [1.3])], **AXES),
        "trend-equal": trend_chart([Points("measured", [1, 2, 30], [1.3, 1.3, 1.3])], **AXES),
        "trend-zero": trend_chart([Points("measured", [0, 0], [0, 0])], **AXES),
        "trend-huge": trend_chart([huge], **AXES),
        "trend-none": trend_chart([Points("sighted", [], [])], **AXES),
    }


def _edges() -> dict[str, Figure]:
    odd = scatter("lines+markers", [1, 2, 3, 4], [nan, None, inf, 2.0], name='a <b> & "c"')
    right = scatter("markers+text", [1, 3], [2.0, 2.5], name="כוס א", text=["<א>", "&"])
    words = note("<script>alert(1)</script> & more", x=2.5, y=2.2)
    low = {"title": {"text": ""}, "type": "log"}
    return {
        "odd": {
            "data": [odd, right | {"textposition": "top center"}],
            "layout": {"xaxis": axis("x < y & z"), "yaxis": axis("y"), "annotations": [words]},
        },
        "log": {
            "data": [scatter("markers", [1, 2, 3], [0.0, 0.002, 30_000.0])],
            "layout": {"xaxis": axis("n"), "yaxis": low},
        },
        "log-near": {
            "data": [scatter("markers", [1, 2], [3.0, 8.0])],
            "layout": {"xaxis": axis("n"), "yaxis": low},
        },
        "category": {
            "data": [scatter("markers", [1, 2], ["<one>", "a rather long name of a group"])],
            "layout": {"xaxis": axis("n"), "yaxis": {"type": "category"}},
        },
    }
