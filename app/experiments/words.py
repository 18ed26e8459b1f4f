"""The sentences of experiments: what is planned, what was found, and what it does not say."""

from collections.abc import Sequence
from typing import NamedTuple

from app.formats import Formats
from app.journal.experiments.settings import amount_in_words, setting_in_words
from app.journal.experiments.standing import Standing, StandingRun
from app.journal.pairs.setup import LABELS
from app.sensory.gathered.words import counted
from app.sensory.scores.design import Design, Factor, resolves
from app.sensory.scores.effects import Effects
from app.sensory.scores.repeats import LEAST_SD, Spread

ASSUMED_SD = 0.8
ORDER = (
    "The order is drawn by lot as you save, once. It comes in blocks that have every setting low "
    "as often as high, and none leans to the early or the late brews: so neither the ageing bag "
    "nor a drift of your scores falls together with a setting.",
    "One brew a morning. Nothing expires: a missed morning only makes it longer, and a brew can be "
    "left out.",
)
NOT_SAID_BEFOREHAND = (
    "You will know what was changed, so what you expect is in the scores.",
    "It holds for this bag, this gear and who scores, and says nothing of settings outside.",
)
SIGHTED = "You knew what was changed, so what you expect is in the scores."
ONE_BAG = "One bag, one taster, this gear; nothing outside the settings that were tried."
DRIFT = (
    "The order was drawn by lot, so that age of the bag and drift of scores do not favour a "
    "setting; they make the ranges wider."
)
DRIFT_OUT = "A steady drift over the days, {drift} points in all, is taken out."
MIDDLE_BENDS = (
    "Corners and a middle say that the surface bends, and not by which setting: the picture parts "
    "it evenly."
)


def named(factors: Sequence[Factor]) -> str:
    """What an experiment varies: "dose and steep"."""
    names = [LABELS[factor.name] for factor in factors]
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def spans(factors: Sequence[Factor], formats: Formats) -> list[str]:
    """Each factor with its low and high setting."""
    return [
        f"{LABELS[one.name]} {amount_in_words(one.name, one.low, formats)} to "
        f"{amount_in_words(one.name, one.high, formats)}"
        for one in factors
    ]


def settings(run: StandingRun, formats: Formats) -> str:
    """The settings of a run as planned."""
    planned = run.planned.items()
    return " · ".join(setting_in_words(name, value, formats) for name, value in planned)


def size(design: Design) -> str:
    every = "once" if design.rounds == 1 else f"{design.rounds} times"
    return (
        f"{design.runs} mornings: each of {2**design.factors} corners {every}, "
        f"the middle {design.centres} times"
    )


def beans(needed_g: float, left_g: float | None, design: Design, formats: Formats) -> str:
    """How much the runs take, and whether the bag holds it."""
    takes = f"{formats.grams(needed_g)} of beans"
    if left_g is None:
        return f"{takes}; how much the bag holds is not noted."
    left = max(left_g, 0.0)
    if left >= needed_g:
        return f"{takes}, and the bag holds {formats.grams(left)}."
    enough = int(left / (needed_g / design.runs))
    return (
        f"{takes}, but the bag holds {formats.grams(left)}: enough for {counted(enough, 'brew')} "
        f"of {design.runs}. Take a shorter one, or less of a dose."
    )


def noise(spread: Spread | None, taster: str) -> tuple[float, str]:
    """The spread of one score (points) to reckon with, and what it rests on."""
    if spread is None or spread.is_wide:
        return ASSUMED_SD, (
            f"{taster} has scored too few repeats yet, so a spread of {ASSUMED_SD:g} points is "
            "assumed; that is our own assumption."
        )
    sd = max(spread.sd, LEAST_SD)
    return sd, f"Scores of {taster} scatter by {sd:.1f} points ({spread.basis})."


def resolved(design: Design, sd: float) -> str:
    """What such an experiment finds, and what it mostly misses."""
    least = resolves(design, sd)
    if least is None:
        return "So few brews find no difference that the scale has: it shows a direction at best."
    return (
        f"It finds a change of {least:.1f} points from low to high in 8 of 10 cases, and mostly "
        "misses smaller ones. Where a setting changes nothing, it says otherwise in fewer than 1 "
        "case in 20."
    )


def limits(of: Standing, effects: Effects | None) -> list[str]:
    """What a finding does not say, the weightiest first."""
    said = []
    if of.tastings > of.blind:
        some = f" in {of.tastings - of.blind} of {of.tastings} tastings" if of.blind else ""
        said.append(SIGHTED.replace("changed,", f"changed{some},"))
    said.append(ONE_BAG)
    if of.differs:
        besides = "; ".join(f"{label} in {_brews(places)}" for label, places in of.differs.items())
        said.append(f"Besides what was planned, other than in the first brew: {besides}.")
    if effects is not None:
        said.append(DRIFT)
        said.append(
            f"Differences smaller than about {effects.least:.1f} points are mostly missed by so "
            "many brews: what was not found may be there."
        )
    return said


def _brews(places: Sequence[int]) -> str:
    return f"brew{'s' if len(places) > 1 else ''} {', '.join(map(str, places))}"


def progress(of: Standing) -> str:
    """How far it is, in a line."""
    counts = {state: sum(run.state == state for run in of.runs) for state in STATES}
    said = [f"{counts['counts']} of {len(of.runs)} brews count"]
    said += [f"{many} {STATES[state]}" for state, many in counts.items()
             if many and state != "counts"]  # fmt: skip
    return ", ".join(said)


STATES = {
    "counts": "count", "to taste": "to taste", "waits": "to brew", "left out": "not counted",
    "left out by hand": "left out",
}  # fmt: skip


class RunInWords(NamedTuple):
    settings: str
    beside: str


def run_in_words(run: StandingRun, formats: Formats) -> RunInWords:
    """What a run is set to, and what there is to say of its brew besides."""
    beside = ""
    if run.state == "left out":
        beside = f"Not counted: {run.why}."
    elif run.changed and run.state != "left out by hand":
        made = ", ".join(setting_in_words(n, run.made[n], formats) for n in run.changed)
        beside = f"Brewed with {made}, and counts so."
    return RunInWords(settings(run, formats), beside)
