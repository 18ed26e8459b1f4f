"""The clock of a cup of the journal: its recipe's steps with its own amounts, else its amounts."""

from collections.abc import Sequence

from app.brewing.along.timeline import Brewed, Planned, Timeline, timeline
from app.models import RecipeRevision
from app.models.recipes import Amounts

PRESSED = {"pressed immersion"}


def timeline_of(made: Amounts, brewer_kind: str, of: RecipeRevision | None) -> Timeline:
    """The clock of a cup, in a brewer of this kind ("": not known), by this recipe if any."""
    brew = Brewed(
        water_g=made.water_g,
        bypass_g=made.bypass_g,
        ice_g=made.ice_g,
        steep_s=made.steep_s,
        press_s=made.press_s,
        stirs=made.stirs,
        is_pressed=brewer_kind in PRESSED,
        is_flipped=made.flipped,
    )
    return timeline(_steps(of, made) if of else [], brew)


def _steps(of: RecipeRevision, made: Amounts) -> Sequence[Planned]:
    """The recipe's steps, with this cup's amounts and its own steep and press times."""
    more = (made.steep_s or 0) - (of.steep_s or 0) if made.steep_s and of.steep_s else 0
    share = {
        "bloom": made.water_g / of.water_g,
        "pour": made.water_g / of.water_g,
        "dilute": made.bypass_g / of.bypass_g if of.bypass_g else 1.0,
        "ice": made.ice_g / of.ice_g if of.ice_g else 1.0,
    }
    steps, shift = [], 0
    for step in of.steps:
        shift = more if step.kind == "press" else shift
        lasts = step.lasts_s
        if step.kind == "press" and made.press_s is not None:
            lasts = made.press_s
        if step.kind == "steep" and lasts is not None:
            lasts = max(0, lasts + more - shift)
        steps.append(
            Planned(
                kind=step.kind,
                starts_s=None if step.starts_s is None else max(0, step.starts_s + shift),
                lasts_s=lasts,
                grams=None if step.grams is None else step.grams * share.get(step.kind, 1.0),
                note=step.note,
            )
        )
        shift = more if step.kind == "steep" else shift
    return steps
