"""What to change in words, each change with the address of a brew form that has it filled in."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from flask import url_for

from app.brewing.changes.directions import Lever
from app.brewing.strength.extraction import FORMULAS
from app.formats import Formats
from app.journal.changes.advice import Advice, Cost, Directed, Off, Proposed
from app.journal.changes.neighbours import Neighbour
from app.journal.pairs.fairness import listed
from app.sensory.scores.apart import Apart
from app.web.brew_url import as_typed
from app.web.formats import formats

SURE = (
    "More than chance usually gives, and nothing else that was noted explains it. Nobody drew "
    "lots, so such cups may differ in more."
)
PUBLISHED = (
    "The direction is published: a trained panel found it in drip coffee (Frost, Ristenpart & "
    "Guinard 2020)."
)
OTHER_KIND = "For this kind of brewer nobody has shown it."
BY_DEFINITION = "That is what strength means; the amounts are estimated."
NOT_TRIED = "Your own cups do not tell yet."
LEVERS: dict[Lever, str] = {
    "stronger": "a stronger cup",
    "weaker": "a weaker cup",
    "more extraction": "more extracted",
    "less extraction": "less extracted",
}
TITLES = {
    "water_g": "Brew water {}, not {}",
    "bypass_g": "Bypass water {}, not {}",
    "dose_g": "Dose {}, not {}",
    "grind": "Grind {}, not {}",
    "grind_setting": "Grinder at {}, not at {}",
    "water_temp_c": "Water at {}, not {}",
    "steep_s": "Steep {}, not {}",
    "stirs": "Stirs: {}, not {}",
}
UNITS = {"water_g": "g", "bypass_g": "g", "dose_g": "g", "water_temp_c": "°C", "stirs": ""}


@dataclass(frozen=True, slots=True)
class Way:
    """One change: what, why, how sure, and where it is brewed."""

    title: str
    why: str
    sure: str
    own: bool
    url: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What was found in one line (empty: nothing), and the changes."""

    headline: str
    ways: Sequence[Way]


def shown(advice: Advice | None) -> Shown | None:
    """None where there is nothing to say."""
    if advice is None or advice.silent:
        return None
    return Shown(_headline(advice), [_way(advice, one, formats()) for one in advice.proposed])


def side_words(cost_or_off: Off | Cost) -> str:
    """Such as "too much bitterness"."""
    one = cost_or_off if isinstance(cost_or_off, Off) else cost_or_off.penalty
    return f"{one.side} {one.attribute}"


def _headline(advice: Advice) -> str:
    worst = advice.worst
    if worst is not None:
        return f"{side_words(worst).capitalize()} costs most: {cost_words(worst, formats())}"
    if not advice.off:
        return "Some cups that differ in one thing were liked better."
    off = advice.off[0]
    if off.answers == 1:
        said = listed([side_words(one) for one in advice.off])
        return f"{advice.name} found {said} in this cup."
    return (
        f"{side_words(off).capitalize()} in {off.cups} of {off.answers} cups. Whether it costs "
        "liking cannot be told yet."
    )


def cost_words(cost: Cost, written: Formats) -> str:
    """Such as "in 9 of 22 cups, liked 1.2 less than those just right (0.4 to 2.0)"."""
    one = cost.penalty
    return (
        f"in {one.cups} of {one.answers} cups, which were liked {written.fixed(one.drop, 1)} less "
        f"than those just right ({_range(one.found, written)})."
    )


def _way(advice: Advice, one: Proposed, written: Formats) -> Way:
    name, after = one.name, one.after
    if name == "ratio" and not isinstance(after, str):
        name, after = "water_g", float(round(after * advice.base.set.dose_g))
    before = getattr(advice.base.set, name)
    values = {name: as_typed(name, after)}
    title = TITLES[name].format(_said(name, after, written), _said(name, before, written))
    if name == "grind" and advice.base.set.grind_setting:
        values["grind_setting"] = ""
        title += f" (at {advice.base.set.grind_setting})"
    address = f"{url_for('brews.new')}?{urlencode({'like': advice.base.row.id, **values})}"
    if isinstance(one.why, Neighbour):
        return Way(title, _better(one.why, written), SURE, own=True, url=address)
    why, sure = _reason(one.why, written), _sure(advice, one.why, written)
    return Way(title, why, sure, own=False, url=address)


def _better(one: Neighbour, written: Formats) -> str:
    return (
        f"{one.cups} cups differed in this alone and were liked "
        f"{written.fixed(one.found.difference, 1)} more than {one.cups_now} as now "
        f"({_range(one.found, written)})."
    )


def _reason(why: Directed, written: Formats) -> str:
    """What it is for, and what it comes to."""
    helps = [f"{'less' if one.side == 'too much' else 'more'} {one.attribute}" for one in why.off]
    lever, change = why.direction.lever, why.change
    by_strength = lever in ("stronger", "weaker")
    digits, unit = (2, "% TDS") if by_strength else (1, "%")
    was, becomes = (written.fixed(one, digits) for one in (change.was, change.becomes))
    what = "strength" if by_strength else "extraction"
    against = f" It works against {listed(why.direction.hurts)}." if why.direction.hurts else ""
    return (
        f"For {listed(helps)}: {LEVERS[lever]}, {what} about {becomes} {unit} in place of {was} "
        f"{unit}.{against}"
    )


def _sure(advice: Advice, why: Directed, written: Formats) -> str:
    said = PUBLISHED
    if why.direction.helps == ("strength",):
        said = BY_DEFINITION
    elif FORMULAS[advice.base.measured.kind] != "drip":
        said = f"{PUBLISHED} {OTHER_KIND}"
    if why.tried is None:
        return f"{said} {NOT_TRIED}"
    found = why.tried.found
    by = written.fixed(abs(found.difference), 1)
    more = "more" if found.difference >= 0 else "less"
    told = "" if found.low is None else f" ({_range(found, written)}), which chance can give"
    return (
        f"{said} {why.tried.cups} cups of yours changed so were liked {by} {more} than "
        f"{why.tried.cups_now} as now{told}."
    )


def _range(found: Apart, written: Formats) -> str:
    low, high = found.low, found.high
    if low is None or high is None:
        return "too few days for a range"
    return f"{_signed(low, written)} to {_signed(high, written)}"


def _signed(value: float, written: Formats) -> str:
    text = written.fixed(abs(value), 1)
    return f"−{text}" if round(value, 1) < 0 else text


def _said(name: str, value: float | str | None, written: Formats) -> str:
    if value is None or value == "":
        return "not noted"
    if isinstance(value, str):
        return value
    return written.clock(value) if name == "steep_s" else written.amount(value, UNITS[name])
