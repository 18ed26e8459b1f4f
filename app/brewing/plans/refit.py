"""A recipe's steps made to follow other amounts and another steep, in weights a scale can show.

Common practice, no source: pours keep their proportions, and what comes after the steep moves
with its end.
"""

from dataclasses import replace
from itertools import pairwise

from app.brewing.bounds import DOSE_G, STEEP_S
from app.brewing.plans.scaling import WATER_STEPS, Plan, PlannedStep

SCALE_STEP_G = 0.1  # what a kitchen scale for coffee shows
GROUPS = ((WATER_STEPS, "water_g"), (("dilute",), "bypass_g"), (("ice",), "ice_g"))


def refit(plan: Plan, dose_g: float, water_g: float, bypass_g: float, ice_g: float) -> Plan:
    """The plan with these amounts; each step keeps its share of the amount it belongs to.

    A step of bypass or ice leaves with the last of it, and comes in at the end where there was
    none. A plan without steps stays without.
    """
    wanted = {"water_g": water_g, "bypass_g": bypass_g, "ice_g": ice_g}
    steps: list[PlannedStep] = list(plan.steps)
    for kinds, name in GROUPS:
        before, after = getattr(plan, name), wanted[name]
        if not before:
            if after and steps:
                steps.append(PlannedStep(kinds[0], after))
            continue
        steps = [
            _times(step, after / before) if step.kind in kinds else step
            for step in steps
            if after or step.kind not in kinds
        ]
    return Plan(dose_g, **wanted, steps=tuple(steps))


def resteep(
    steps: tuple[PlannedStep, ...], steep_s: int | None, new_s: int | None
) -> tuple[PlannedStep, ...]:
    """The steps when a brew that steeped ``steep_s`` steeps ``new_s``, both from the first water.

    A steep that ends then or later ends so much later or earlier, and what starts then moves.
    """
    if steep_s is None or new_s is None or steep_s == new_s:
        return steps
    return tuple(_moved(step, steep_s, new_s - steep_s) for step in steps)


def weighable(plan: Plan) -> Plan:
    """All weights to 0.1 g, steps so that what the scale shows after each is rounded, not each.

    Where the steps of an amount add up to it, they still do.
    """
    steps = list(plan.steps)
    for kinds, _ in GROUPS:
        places = [n for n, step in enumerate(steps) if step.kind in kinds and step.grams]
        shown, total = [0.0], 0.0
        for place in places:
            total += steps[place].grams or 0.0
            shown.append(_rounded(total))
        for place, (before, after) in zip(places, pairwise(shown), strict=True):
            steps[place] = replace(steps[place], grams=_rounded(after - before))
    return Plan(
        max(DOSE_G[0], _rounded(plan.dose_g)),
        _rounded(plan.water_g),
        _rounded(plan.bypass_g),
        _rounded(plan.ice_g),
        tuple(steps),
    )


def _times(step: PlannedStep, share: float) -> PlannedStep:
    return step if step.grams is None else replace(step, grams=step.grams * share)


def _moved(step: PlannedStep, steep_s: int, by_s: int) -> PlannedStep:
    starts_s, lasts_s = step.starts_s, step.lasts_s
    if step.kind == "steep" and lasts_s is not None and (starts_s or 0) + lasts_s >= steep_s:
        return replace(step, lasts_s=max(0, min(lasts_s + by_s, STEEP_S[1])))
    if starts_s is not None and starts_s >= steep_s:
        return replace(step, starts_s=max(0, min(starts_s + by_s, STEEP_S[1])))
    return step


def _rounded(grams: float) -> float:
    return round(grams / SCALE_STEP_G) / round(1.0 / SCALE_STEP_G)
