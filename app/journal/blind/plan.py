"""What a plan means: its rule, and why some plans are refused."""

from app.models import BlindTest
from app.sensory.blind.methods import METHOD_FACTS, PANEL
from app.sensory.blind.panel import panel_majority
from app.sensory.blind.planning import SYMMETRIC, refusal
from app.sensory.blind.preference_rule import Fixed
from app.sensory.blind.sequential import (
    STEP_BY_STEP_P_D,
    EveryMorning,
    FixedNumber,
    Rule,
    StepByStep,
)
from app.sensory.terms import Method, Pouring

ALPHA, BETA = 0.05, 0.10
DIRECTED = ("paired", "three-cup")
SAID_IN_WORDS = ("A-not-A", "same-different")
CUP_PARTS = ("words", "brew_id", "revision_id", "filter_id", "filter_use")

SOLO_CONTROLS = (
    "Whoever pours alone knows that every cup holds A, so A against A tells nothing. Let somebody "
    "else pour, or leave these trials out."
)
SOLO_PAIR = (
    "Whoever pours a pair knows whether its two cups are the same. Let somebody else pour, or "
    "choose A – not A: of two cups on a turned tray one is tasted."
)
HALF_CONTROLS = (
    "Half of these trials hold nothing but A, or two cups of one kind: they are there to compare "
    "with already. Leave the others out."
)
SOLO_TETRAD = (
    "Four cups in a ring keep their neighbours when the tray turns, so whoever poured them knows "
    "which can belong together. Let somebody else pour, or choose a triangle."
)
PREFERENCE_CONTROLS = (
    "A preference has no right answer to compare with. The pull of the place is read from the "
    "trials themselves."
)
PREFERENCE_STEPS = "This rule counts right answers, and a preference has none. Choose another rule."
CONTROLS_FIXED = (
    "This plan is judged against its A-against-A trials, which only holds for a number of trials "
    "fixed beforehand. Choose the fixed number."
)
STEPS_SIZES = "This rule is offered for 20, 30, 40 or 50 %, where its false alarms are checked."
PANEL_NUMBER = "A panel is read once everybody has tasted: choose the fixed number of trials."
PANEL_SIZE = "A panel has {} to {} tasters, one trial each: that is the number of trials here."
PANEL_CONTROLS = "A panel has no trials of A against A: its orders are dealt in equal shares."
PANEL_SOLO = "The orders of a panel are dealt to many tasters: somebody else has to pour."
PANEL_FEW = "Six tasters are too few for a preference, even if all agree: take seven or more."
NAME_IT = "Name what to taste for, such as bitterness or body."
SAME_CUPS = "A and B are the same. What should be told apart?"


def guess_of(method: Method) -> float:
    """The share of right answers that guessing gets; one half for a preference."""
    return 0.5 if method == "preference" else float(METHOD_FACTS[method].guess)


def rule_of(test: BlindTest) -> Rule:
    """The stopping rule of a test with right and wrong answers."""
    guess = guess_of(test.method)
    if test.rule == "fixed number":
        return FixedNumber(guess, test.fixed_trials or 0, panel=bool(test.balanced))
    if test.rule == "step by step":
        return StepByStep(guess, test.p_d, test.alpha or ALPHA, test.beta or BETA)
    return EveryMorning(guess, test.p_d)


def fixed_answers(test: BlindTest) -> Fixed | None:
    """The rule of a preference; None where it goes on every morning."""
    return Fixed(test.fixed_trials, bool(test.balanced)) if test.fixed_trials else None


def judged_by_controls(test: BlindTest) -> bool:
    """Whether right answers mean something only beside those of A-against-A trials.

    Two cups of one brew share its luck, so that the third can stand out although the recipes are
    the same. That cannot happen where A and B are interchangeable (two cups, or every cup a brew
    of its own).
    """
    shares_luck = test.brewing == "fresh pair each trial" and test.method not in SYMMETRIC
    return test.control_in > 0 and test.claim == "these ways of brewing" and shares_luck


def refusals(test: BlindTest) -> list[tuple[str, str]]:
    """The fields of a plan that are refused, each with the reason."""
    controls = test.control_in > 0
    claim = refusal(
        test.method, test.claim, test.brewing, controls=controls, reminder=bool(test.reminder)
    )
    refused = [("claim", claim)] if claim else []
    refused += [("attribute", NAME_IT)] if test.method in DIRECTED and not test.attribute else []
    pouring = refused_pouring(test, test.pouring)
    refused += [("pouring", pouring)] if pouring else []
    if test.control_in and test.method == "preference":
        refused.append(("control_in", PREFERENCE_CONTROLS))
    if test.control_in and test.method in SAID_IN_WORDS:
        refused.append(("control_in", HALF_CONTROLS))
    refused += _refused_rule(test) + (_refused_panel(test) if test.balanced else [])
    if _what(test, "a") == _what(test, "b"):
        refused.append(("b_words", SAME_CUPS))
    return refused


def refused_pouring(test: BlindTest, pouring: Pouring) -> str | None:
    """Why the trials of a test cannot be poured this way, or None if they can."""
    if pouring != "solo":
        return None
    if test.balanced:
        return PANEL_SOLO
    if test.method == "tetrad":
        return SOLO_TETRAD
    if test.method == "same-different":
        return SOLO_PAIR
    return SOLO_CONTROLS if test.control_in else None


def _refused_panel(test: BlindTest) -> list[tuple[str, str]]:
    low, high = PANEL
    if test.rule != "fixed number":
        return [("rule", PANEL_NUMBER)]
    if not low <= (test.fixed_trials or 0) <= high:
        return [("fixed_trials", PANEL_SIZE.format(low, high))]
    if test.method == "preference" and panel_majority(test.fixed_trials or 0) is None:
        return [("fixed_trials", PANEL_FEW)]
    return [("control_in", PANEL_CONTROLS)] if test.control_in else []


def _refused_rule(test: BlindTest) -> list[tuple[str, str]]:
    if test.rule == "step by step":
        if test.method == "preference":
            return [("rule", PREFERENCE_STEPS)]
        if not any(abs(test.p_d - size) < 1e-9 for size in STEP_BY_STEP_P_D):
            return [("p_d", STEPS_SIZES)]
    if test.rule != "fixed number" and judged_by_controls(test):
        return [("rule", CONTROLS_FIXED)]
    return []


def _what(test: BlindTest, cup: str) -> tuple[object, ...]:
    return tuple(getattr(test, f"{cup}_{part}") for part in CUP_PARTS)
