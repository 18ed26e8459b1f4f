import pytest
from scipy.stats import nbinom

from app.sensory.blind.discrimination import correct_at, trials_needed
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.planning import cautions, cups_needed, outlook, promise, suggestion
from app.sensory.blind.sequential import EveryMorning
from app.sensory.blind.steps import StepByStep


def test_outlook_of_a_fixed_number_is_the_binomial():
    found = outlook(FixedNumber(1 / 3, 30), 0.4)
    assert found.shown == pytest.approx(0.9029, abs=1e-4)  # P(X >= 15 | 30, .6)
    assert (found.most, found.mean_trials < 30) == (30, True)


def test_power_starts_at_the_false_alarms_and_climbs():
    for rule in (EveryMorning(1 / 3), FixedNumber(0.5, 30), StepByStep(0.5, 0.4)):
        shown = [outlook(rule, p_d).shown for p_d in (0, 0.2, 0.4, 0.6, 0.8)]
        assert shown == sorted(shown)
        assert shown[0] <= 0.05 < 0.9 < shown[-1]


def test_promise_in_plain_words():
    assert promise(EveryMorning(1 / 3), 0.4) == (
        "A difference perceived in 40 % of trials is found 94 times in 100 within 200 trials, "
        "on average at trial 23 where it is found; guessing passes for a difference 3 times in "
        "100. Without a difference it ends close enough 97 times in 100."
    )
    assert promise(FixedNumber(1 / 3, 60), 0.6).startswith(
        "A difference perceived in 60 % of trials is found more than 99 times in 100"
    )


@pytest.mark.parametrize(("method", "cups"), [("triangle", 3), ("duo-trio", 3), ("tetrad", 4)])
def test_naming_the_attribute_takes_a_quarter_of_the_cups_or_fewer(method, cups):
    few = cups_needed("paired", 1.0)
    many = cups_needed(method, 1.0)
    assert many % cups == 0
    assert many / few > 4
    assert f"about {few} cups in all where this takes {many}." in suggestion(method)


def test_cups_needed_is_trials_times_cups():
    p_c = correct_at("triangle", 2.0)
    assert cups_needed("triangle", 2.0) == 3 * trials_needed(1 / 3, p_c, 0.05, 0.20)
    assert cups_needed("triangle", 0.1) is None
    assert suggestion("triangle", 0.1) is None


@pytest.mark.parametrize("method", ["paired", "three-cup"])
def test_no_suggestion_where_an_attribute_is_named(method):
    assert suggestion(method) is None


def test_cautions():
    assert cautions("paired") == ()
    assert "d′ only as a range" in cautions("triangle", solo=True)[0]
    assert cautions("paired", solo=True) == ()
    assert cautions("triangle", trials_a_sitting=2) == ()
    assert cautions("triangle", trials_a_sitting=3)[0].startswith("Taste tires")
    (said,) = cautions("paired", FixedNumber(0.5, 18))
    assert "adding trials later" in said


def test_fault_16_found_after_is_the_mean_of_the_tests_that_find_it():
    rule = FixedNumber(1 / 3, 20)
    n, p = 20, 1 / 3 + 0.4 * 2 / 3
    # The count needed is reached at trial k by so many ways: a negative binomial, cut at n.
    at = {k: nbinom.pmf(k - rule.needed, rule.needed, p) for k in range(rule.needed, n + 1)}
    mean = sum(k * chance for k, chance in at.items()) / sum(at.values())
    found = outlook(rule, 0.4)
    assert found.found_after == pytest.approx(mean)
    assert f"on average at trial {mean:.0f} where it is found" in promise(rule, 0.4)
