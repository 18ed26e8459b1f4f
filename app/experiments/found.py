"""What an experiment found: the finding first, effects, the picture, where to go next."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import mean

from app.charts.contour import Grid, TriedAt, contour
from app.charts.figure import Chart
from app.experiments import words
from app.experiments.units import shown_in, unit_of
from app.formats import Formats
from app.journal.experiments.settings import amount_in_words, setting_in_words, settings_at
from app.journal.experiments.standing import Standing
from app.journal.pairs.setup import LABELS
from app.sensory.scores.design_next import Suggestion, Surface, fit_surface, suggest_next
from app.sensory.scores.effects import LEAST_CUPS, Effect, Effects, Term, Tried, fit_effects

HEAD = ("Effect", "Change of liking, points#", "95 % range#", "Said")
STEPS = 20  # of the picture, along each axis


@dataclass(frozen=True)
class Found:
    """`effects` and the rest are None where too few brews count."""

    finding: str
    beside: Sequence[str]
    table: Sequence[Sequence[str]]
    limits: Sequence[str]
    sums: str = ""
    chart: Chart | None = None
    next: str = ""
    to_try: dict[str, float] | None = None


def found(of: Standing, formats: Formats) -> Found:
    """All that the brews which count say."""
    effects = fit_effects(of.tried)
    surface = fit_surface(of.tried)
    if effects is None or surface is None:
        return Found(_too_few(of), [], [], words.limits(of, None))
    suggestion = suggest_next(surface, effects)
    going = _going(of, suggestion, formats)
    return Found(
        _finding(of, effects, formats),
        _beside(of, effects, formats),
        [_row(of, one, formats) for one in effects.effects],
        words.limits(of, effects),
        _sums(effects, formats),
        _chart(of, effects, surface, suggestion, formats),
        going,
        settings_at(of.factors, suggestion.coded) if suggestion.is_better else None,
    )


def _too_few(of: Standing) -> str:
    many = len(of.tried)
    if many >= LEAST_CUPS:
        return (
            f"{many} brews count, and what can be told from them is less than they scatter: "
            "another brew or two would say how sure it is."
        )
    brews = "brew counts" if many == 1 else "brews count"
    return f"{many or 'No'} {brews} so far; from {LEAST_CUPS} on there is something to read."


def _finding(of: Standing, effects: Effects, formats: Formats) -> str:
    claims = [_claim(of, one, formats) for one in effects.effects if one.found]
    if claims:
        return " ".join(claims)
    widest = max(abs(end) for one in effects.effects for end in (one.low, one.high))
    return (
        f"Nothing stands out from chance in {effects.cups} brews: the changes may lie anywhere "
        f"within their ranges, up to {formats.number(widest, 1)} points either way."
    )


def _claim(of: Standing, one: Effect, formats: Formats) -> str:
    size = f"by {formats.number(abs(one.points), 1)} points ({_range(one, formats)})"
    way = "rises" if one.points > 0 else "falls"
    if one.kind == "factor":
        factor = of.factors[one.factors[0]]
        low, high = (
            amount_in_words(factor.name, end, formats) for end in (factor.low, factor.high)
        )
        return f"From {LABELS[factor.name]} {low} to {high} the liking {way} {size}."
    if one.kind == "two":
        a, b = (LABELS[of.factors[n].name] for n in one.factors)
        return f"What {a} does depends on {b}: half the difference is {size.removeprefix('by ')}."
    side = "above" if one.points > 0 else "below"
    return f"The middle lies {side} the corners {size}."


def _range(one: Effect, formats: Formats) -> str:
    return f"95 % range {formats.number(one.low, 1)} to {formats.number(one.high, 1)}"


def _row(of: Standing, one: Effect, formats: Formats) -> list[str]:
    ends = f"{formats.fixed(one.low, 1)} to {formats.fixed(one.high, 1)}"
    said = "beyond chance" if one.found else "may be chance"
    return [_named(of, one.factors), formats.fixed(one.points, 1), ends, said]


def _named(of: Standing, term: Term) -> str:
    if not term:
        return "middle against the corners"
    labels = [LABELS[of.factors[n].name] for n in term]
    return f"{labels[0]}, low to high" if len(labels) == 1 else " with ".join(labels)


def _beside(of: Standing, effects: Effects, formats: Formats) -> list[str]:
    said = []
    if effects.untold:
        names = ", ".join(_named(of, term) for term in effects.untold)
        said.append(f"Cannot be told apart with these brews: {names}.")
    if effects.drift is not None:
        said.append(words.DRIFT_OUT.format(drift=formats.number(effects.drift, 1)))
    return said


def _sums(effects: Effects, formats: Formats) -> str:
    many = len(effects.effects)
    return (
        f"Least squares on the settings as they were brewed; low is −1 and high is 1. One score "
        f"scatters by {formats.fixed(effects.sd, 2)} points on {effects.df} degrees of freedom. "
        f"The ranges are t ranges of each effect alone. {many} effects are looked at, so one is "
        f"called beyond chance only where the range that holds for all {many} together leaves 0 "
        f"out: with nothing to find, that happens in fewer than 1 experiment in 20."
    )


def _going(of: Standing, best: Suggestion, formats: Formats) -> str:
    if not best.is_better:
        return "Nothing within what was tried looks better than the middle."
    settings = settings_at(of.factors, best.coded)
    where = ", ".join(setting_in_words(name, value, formats) for name, value in settings.items())
    low, high = (formats.number(end, 1) for end in (best.low, best.high))
    return (
        f"The surface is highest at {where}: {formats.number(best.gain, 1)} points above the "
        f"middle (95 % range {low} to {high}). Brew it beside the middle before believing it."
    )


def _chart(
    of: Standing, effects: Effects, surface: Surface, best: Suggestion, formats: Formats
) -> Chart:
    """Of three factors the two that move the liking most, the third at its middle."""
    sizes = {n: abs(one.points) if (one := effects.of(n)) else 0.0 for n in range(len(of.factors))}
    across, up = sorted(sorted(sizes, key=lambda n: -sizes[n])[:2])
    x, y = of.factors[across], of.factors[up]
    along = [n / (STEPS / 2) - 1 for n in range(STEPS + 1)]

    def place(coded_x: float, coded_y: float) -> tuple[float, ...]:
        at = [0.0] * len(of.factors)
        at[across], at[up] = coded_x, coded_y
        return tuple(at)

    heights = [surface.at([place(a, b) for a in along]) for b in along]
    grid = Grid(
        [shown_in(x.name, x.plain(a), formats) for a in along],
        [shown_in(y.name, y.plain(b), formats) for b in along],
        heights,
    )
    spot = None
    if best.is_better:
        spot = (
            shown_in(x.name, x.plain(best.coded[across]), formats),
            shown_in(y.name, y.plain(best.coded[up]), formats),
        )
    figure = contour(
        grid,
        _tried_at(of, across, up, formats),
        spot,
        x_title=f"{LABELS[x.name]}{unit_of(x.name, formats)}",
        y_title=f"{LABELS[y.name]}{unit_of(y.name, formats)}",
        written=lambda level: formats.number(level, 1),
    )
    rest = [LABELS[one.name] for one in of.factors if one not in (x, y)]
    words_below = f"The lines are for a middle {rest[0]}. " if rest else ""
    head = ["Brew#", *(f"{LABELS[one.name]}#" for one in of.factors), "Liking#"]
    rows = [
        [
            str(run.row.place),
            *(amount_in_words(one.name, run.made[one.name], formats) for one in of.factors),
            formats.number(run.liking, 1),
        ]
        for run in of.counting
    ]
    title = f"Liking over {words.named([x, y])}"
    return Chart(title, figure, head, rows, words_below + words.MIDDLE_BENDS)


def _tried_at(of: Standing, across: int, up: int, formats: Formats) -> list[TriedAt]:
    """Brews at one place of the picture, as one mark with their mean."""
    at: dict[tuple[float, float], list[Tried]] = {}
    for cup in of.tried:
        at.setdefault((round(cup.coded[across], 2), round(cup.coded[up], 2)), []).append(cup)
    x, y = of.factors[across], of.factors[up]
    return [
        TriedAt(
            shown_in(x.name, x.plain(a), formats),
            shown_in(y.name, y.plain(b), formats),
            formats.fixed(mean(cup.score for cup in cups), 1),
        )
        for (a, b), cups in at.items()
    ]
