"""A recipe's steps adjusted to other amounts or another steep time. Common practice, no source."""

from dataclasses import replace
from itertools import accumulate, pairwise

from app.brewing.bounds import DOSE_G, STEEP_S
from app.brewing.plans.scaling import WATER_STEPS, Plan, PlannedStep

SCALE_STEP_G = 0.1  # what a kitchen scale for coffee shows
# The kinds of steps that add up to each amount of a plan.
STEPS_OF_AMOUNT = ((WATER_STEPS, "water_g"), (("dilute",), "bypass_g"), (("ice",), "ice_g"))


def refit(plan: Plan, dose_g: float, water_g: float, bypass_g: float, ice_g: float) -> Plan:
    """``plan`` with these amounts (g), where each step keeps its share of its amount.

    A step is dropped where its amount becomes zero, and one is added at the end where a plan with
    steps had none for an amount that is now above zero.

    >>> pour = PlannedStep("pour", 180.0)
    >>> refit(Plan(12.0, 180.0, steps=(pour,)), 14.0, 210.0, 0.0, 0.0).steps[0].grams
    210.0
    """
    wanted = {"water_g": water_g, "bypass_g": bypass_g, "ice_g": ice_g}
    steps: list[PlannedStep] = list(plan.steps)
    for kinds, name in STEPS_OF_AMOUNT:
        before, after = getattr(plan, name), wanted[name]
        if not before:
            if after and steps:
                steps.append(PlannedStep(kinds[0], after))
            continue
        steps = [
            step.times(after / before) if step.kind in kinds else step
            for step in steps
            if after or step.kind not in kinds
        ]
    return Plan(dose_g, **wanted, steps=tuple(steps))


def resteep(
    steps: tuple[PlannedStep, ...], steep_s: int | None, new_s: int | None
) -> tuple[PlannedStep, ...]:
    """The steps of a brew whose steep, from the first water on, changes to ``new_s`` seconds.

    A "steep" step that ended at ``steep_s`` or later lasts longer or shorter by the difference,
    and steps that started then or later move by it. Without both times nothing changes.
    """
    if steep_s is None or new_s is None or steep_s == new_s:
        return steps
    return tuple(_moved(step, steep_s, new_s - steep_s) for step in steps)


def weighable(plan: Plan) -> Plan:
    """``plan`` with weights rounded to 0.1 g, so that steps that add up to an amount still do."""
    steps = list(plan.steps)
    for kinds, _ in STEPS_OF_AMOUNT:
        places = [n for n, step in enumerate(steps) if step.kind in kinds and step.grams]
        totals = accumulate((steps[place].grams or 0.0 for place in places), initial=0.0)
        shown = [_rounded(total) for total in totals]  # as the scale shows them
        for place, (before, after) in zip(places, pairwise(shown), strict=True):
            steps[place] = replace(steps[place], grams=_rounded(after - before))
    water_g, bypass_g, ice_g = map(_rounded, (plan.water_g, plan.bypass_g, plan.ice_g))
    return Plan(max(DOSE_G[0], _rounded(plan.dose_g)), water_g, bypass_g, ice_g, tuple(steps))


def _moved(step: PlannedStep, steep_s: int, by_s: int) -> PlannedStep:
    starts_s, lasts_s = step.starts_s, step.lasts_s
    if step.kind == "steep" and lasts_s is not None and (starts_s or 0) + lasts_s >= steep_s:
        return replace(step, lasts_s=max(0, min(lasts_s + by_s, STEEP_S[1])))
    if starts_s is not None and starts_s >= steep_s:
        return replace(step, starts_s=max(0, min(starts_s + by_s, STEEP_S[1])))
    return step


def _rounded(grams: float) -> float:
    return round(grams / SCALE_STEP_G) / round(1.0 / SCALE_STEP_G)
