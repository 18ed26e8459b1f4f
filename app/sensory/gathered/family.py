"""The blind tests under one question as one family: what they may claim together.

A question gets test after test and is looked at on any day. Chance alone may bring it to a claim
in 1 of 20 such questions, whatever is added, so that this 1 in 20 is an account, spent once:

- the test answered first may claim by its own rule, at the price of that rule's false alarms; as
  long as every test has shown what it was to show, the next may, too, if its rule costs no more
  (a fixed sequence; Wiens 2003, Pharm. Stat. 2:211, from memory);
- what is left of the account is bet on the later tests. Their keys are drawn independently, so
  their e-values multiply (Ville's inequality; Vovk and Wang 2021, Ann. Statist. 49:1736), for
  each claim by itself, and the mean over the two claims is held against the account.

A rule that costs more than the account, as every rule for "close enough" does, claims nothing by
itself, and all of its evidence is multiplied. Tests poured from brews of an earlier test depend on
it; their mean would need their number beforehand, so the earlier one speaks for them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, prod

from app.sensory import ROUNDING
from app.sensory.gathered.several import ALPHA
from app.sensory.terms import CLAIMS, Claim

ON_ITS_RULE = 0.75


@dataclass(frozen=True)
class Share:
    """What one test brings: its e-value at any stop, whether its own rule has ended it so, and
    how often the rule does so wrongly. `brews` are those it was poured from, where known."""

    claim: Claim
    evidence: float
    ended: bool
    error: float
    brews: frozenset[int] = frozenset()

    @property
    def worth(self) -> float:
        """An e-value too, that a fixed number, which ends at its count, does not leave small: the
        mean of two bets, three quarters on the rule's end and one on the evidence."""
        return ON_ITS_RULE * self.ended / self.error + (1 - ON_ITS_RULE) * self.evidence


@dataclass(frozen=True)
class Account:
    """`alone`: claims made by own rules; `together`: the later tests of each claim, multiplied,
    which claim from `line` on (infinite where the first test has spent the account)."""

    alone: frozenset[Claim]
    together: dict[Claim, float]
    line: float
    spent: float

    @property
    def claims(self) -> frozenset[Claim]:
        """What may be claimed."""
        reached = {c for c, e in self.together.items() if e >= self.line - ROUNDING}
        return self.alone | reached

    @property
    def evidence(self) -> float:
        """One e-value for the family: 20 or more where it claims."""
        left = (1 - self.spent / ALPHA) * sum(self.together.values()) / len(CLAIMS)
        return bool(self.alone) / ALPHA + left


def account(shares: Sequence[Share]) -> Account:
    """The account of a family, its tests in the order of their first answers."""
    first = shares[0].error if shares else inf
    speaks, independent = first <= ALPHA, _anew(shares)
    spent, later = (first, independent[1:]) if speaks else (0.0, independent)
    together = {claim: prod(one.worth for one in later if one.claim == claim) for claim in CLAIMS}
    left = ALPHA - spent
    line = len(CLAIMS) / left if left > ROUNDING else inf
    return Account(_alone(shares) if speaks else frozenset(), together, line, spent)


def evidence_of(shares: Sequence[Share]) -> float:
    """One e-value for the family in a list of claims: the mean of what its account holds and of all
    its tests multiplied, which repeating what was shown makes larger."""
    anew = _anew(shares)
    every = [prod(one.worth for one in anew if one.claim == claim) for claim in CLAIMS]
    return (account(shares).evidence + sum(every) / len(CLAIMS)) / 2


def multiplied(shares: Sequence[Share]) -> float:
    """The e-values of a family as they stand, multiplied."""
    return prod(one.evidence for one in _anew(shares))


def _alone(shares: Sequence[Share]) -> frozenset[Claim]:
    """Claims of the first test and of those after it, up to the first that has not ended so."""
    claimed = set()
    for one in shares:
        if not one.ended or one.error > shares[0].error + ROUNDING:
            break
        claimed.add(one.claim)
    return frozenset(claimed)


def _anew(shares: Sequence[Share]) -> list[Share]:
    """Without those poured from brews of an earlier one. Two cups are what they are: tests of them
    depend on each other only where the brews are a sample of two ways."""
    seen: set[int] = set()
    kept = []
    for one in shares:
        brews = one.brews if one.claim == "these ways of brewing" else frozenset()
        if not brews & seen:
            kept.append(one)
        seen |= brews
    return kept
