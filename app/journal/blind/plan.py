"""What a plan means: its rule, and why some plans are refused."""

from app.brewing.bounds import CONTROLS
from app.models import BlindTest
from app.sensory.blind.control import controls_needed
from app.sensory.blind.design import Choices, clashes, shares_luck
from app.sensory.blind.design import refused as refused_together
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.methods import METHOD_FACTS, PANEL
from app.sensory.blind.panel import panel_majority
from app.sensory.blind.preference_rule import Fixed
from app.sensory.blind.sequential import STEP_BY_STEP_P_D, EveryMorning, Rule
from app.sensory.blind.steps import StepByStep
from app.sensory.terms import Method, Pouring

ALPHA, BETA = 0.05, 0.10
DIRECTED = ("paired", "three-cup")
CUP_PARTS = ("words", "brew_id", "revision_id", "filter_id", "filter_use")

STEPS_SIZES = "This rule is offered for 20, 30, 40 or 50 %, where its false alarms are checked."
PANEL_SIZE = "A panel has {} to {} tasters, one trial each: that is the number of trials here."
PANEL_FEW = "Six tasters are too few to show it, even if all agree: take seven or more."
EITHER_OF_TWO = ("paired", "A-not-A", "preference")
NAME_IT = "Name what to taste for, such as bitterness or body."
SAME_CUPS = "A and B are the same. What should be told apart?"
TOO_FEW_CONTROLS = (
    "So few say nothing, even if all other trials come out right: mix in {} or more. About as many "
    "as there are other trials say most."
)


def guess_of(method: Method) -> float:
    """The share of right answers that guessing gets; one half for a preference."""
    return 0.5 if method == "preference" else float(METHOD_FACTS[method].guess)


def rule_of(test: BlindTest) -> Rule:
    """The stopping rule of a test with right and wrong answers."""
    guess = guess_of(test.method)
    both = test.method != "preference" and METHOD_FACTS[test.method].both_ways
    if test.rule == "fixed number":
        trials, panel = test.fixed_trials or 0, bool(test.balanced)
        return FixedNumber(guess, trials, panel=panel, p_d=test.p_d, both_ways=both)
    if test.rule == "step by step":
        return StepByStep(guess, test.p_d, test.alpha or ALPHA, test.beta or BETA, both)
    return EveryMorning(guess, test.p_d, both)


def fixed_answers(test: BlindTest) -> Fixed | None:
    """The rule of a preference; None where it goes on every morning."""
    return Fixed(test.fixed_trials, bool(test.balanced)) if test.fixed_trials else None


def choices_of(test: BlindTest) -> Choices:
    """The choices of a plan, as the list of those that go together knows them."""
    tasting = "panel" if test.balanced else "several" if test.several_tasters else "one"
    return {
        "claim": test.claim,
        "brewing": test.brewing,
        "method": test.method,
        "reminder": "yes" if test.reminder else "no",
        "tasting": tasting,
        "pouring": test.pouring,
        "rule": test.rule,
        "controls": "some" if has_controls(test) else "none",
    }


def has_controls(test: BlindTest) -> bool:
    """Whether trials of A against A are mixed in: a fixed number, or by odds in an older plan."""
    return bool(test.controls or test.control_in)


def judged_by_controls(test: BlindTest) -> bool:
    """Whether right answers mean something only beside those of A-against-A trials. An older plan
    without any of these can then show nothing."""
    return shares_luck(choices_of(test))


def refusals(test: BlindTest) -> list[tuple[str, str]]:
    """The fields of a plan that are refused, each with the reason."""
    refused: list[tuple[str, str]] = list(refused_together(choices_of(test)).items())
    refused += [("attribute", NAME_IT)] if test.method in DIRECTED and not test.attribute else []
    if test.rule == "step by step" and not _offered(test.p_d):
        refused.append(("p_d", STEPS_SIZES))
    refused += _refused_panel(test) if test.balanced else []
    if test.controls and test.fixed_trials:
        needed = controls_needed(test.fixed_trials, CONTROLS[1])
        if needed and test.controls < needed:
            refused.append(("controls", TOO_FEW_CONTROLS.format(needed)))
    if _what(test, "a") == _what(test, "b"):
        refused.append(("b_words", SAME_CUPS))
    return refused


def refused_pouring(test: BlindTest, pouring: Pouring) -> str | None:
    """Why the trials of a test cannot be poured this way, or None if they can."""
    about = (clash for clash in clashes({**choices_of(test), "pouring": pouring}))
    return next((clash.why for clash in about if "pouring" in clash.when), None)


def _offered(p_d: float) -> bool:
    return any(abs(p_d - size) < 1e-9 for size in STEP_BY_STEP_P_D)


def _refused_panel(test: BlindTest) -> list[tuple[str, str]]:
    low, high = PANEL
    if test.rule != "fixed number":
        return []
    if not low <= (test.fixed_trials or 0) <= high:
        return [("fixed_trials", PANEL_SIZE.format(low, high))]
    if test.method in EITHER_OF_TWO and panel_majority(test.fixed_trials or 0) is None:
        return [("fixed_trials", PANEL_FEW)]
    return []


def _what(test: BlindTest, cup: str) -> tuple[object, ...]:
    return tuple(getattr(test, f"{cup}_{part}") for part in CUP_PARTS)
