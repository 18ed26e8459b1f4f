"""What the numbers on a question's page were worked out by, and where that comes from."""

from collections.abc import Iterator, Sequence

from app.journal.blind.evidence import BlindEvidence
from app.journal.blind.plan import judged_by_controls
from app.journal.gathered.evidence import Gathered
from app.sensory.blind.methods import METHOD_FACTS, name_of
from app.sensory.terms import RuleName

RULES: dict[RuleName, str] = {
    "every morning": "Looking after every trial: e-value of an even bet on every rate of right "
    "answers above guessing, line at 20; mirror at 10 (Howard and others 2021, Ann. Statist. "
    "49:1055; Grünwald and others 2024, J. R. Stat. Soc. B 86:1091)",
    "fixed number": "A fixed number of trials: least count x with P(X ≥ x) ≤ 0.05 by the binomial "
    "distribution; close enough at the greatest x with P(X ≤ x) ≤ 0.10 for the size set "
    "beforehand; ended early once it is certain",
    "step by step": "Step by step: two lines to cross, ISO 16820:2019 (Wald 1947)",
}
BOTH_WAYS = (
    "What can come out the wrong way round is looked at both ways: e = B(1 + x, 1 + n − x) ÷ "
    "(gˣ·(1 − g)ⁿ⁻ˣ), or half of the 0.05 each way; close enough has to rule out the size set "
    "beforehand both ways"
)
PREFERENCE = "Preference: e-value 2ⁿ·B(1 + a, 1 + b) against a coin, answers without one set aside"
PREFERENCE_FIXED = "Preference: exact two-sided majority by the binomial distribution"
CONTROLS = "A against A: Fisher's exact test, one-sided (Fisher 1935)"
PERCEIVED = (
    "Share of trials perceived: p_d = (p_c − g) ÷ (1 − g), with p_c the share of right answers and "
    "g that of guessing"
)
LIKING = (
    "Liking: nine-point hedonic scale (Peryam and Pilgrim 1957), mean of each brew's scores, then "
    "of the brews"
)
FAIR = (
    "Fair: one thing that somebody sets differs by more than scale, kettle and hand can hold to, "
    "what follows from it not counted; the rule is Oddcup's own"
)
STRENGTH = (
    "Strength of the evidence: a rule of Oddcup's own, written out under Questions; all that was "
    "looked at counts, e-values of tests multiply (Vovk and Wang 2021, Ann. Statist. 49:1736), and "
    "a hint is 3, which chance ever reaches in at most 1 case in 3 (Ville's inequality)"
)


def sources_of(found: Gathered) -> list[str]:
    """Formulas and sources behind what is shown, each once."""
    said = [STRENGTH, *_of_tests(found.tests)]
    said += [FAIR] if found.pairs else []
    said += [LIKING] if any(brew.liking is not None for brew in found.brews) else []
    return list(dict.fromkeys(said))


def _of_tests(tests: Sequence[BlindEvidence]) -> Iterator[str]:
    for test in (found.test for found in tests):
        if test.method == "preference":
            yield PREFERENCE_FIXED if test.fixed_trials else PREFERENCE
            continue
        facts = METHOD_FACTS[test.method]
        yield f"{name_of(facts.name)} test: {facts.standard}; guessing gets {facts.guess}"
        yield CONTROLS if judged_by_controls(test) else RULES[test.rule]
        if facts.both_ways:
            yield BOTH_WAYS
        yield PERCEIVED
