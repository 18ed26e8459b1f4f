"""How far two cups are apart, where they share what is not known of them.

Two cups from one brewer and grinder share the level of their household, the pace of its steeps and
what its grounds hold: whatever these are, they are the same for both, so that a difference between
the cups is far better known than either of them. Each thing unknown is moved to its ends in both
cups together, the chance of a single brew in each by itself, and the moves are added as errors
are. Our own method, from the widths of ``doubt``.
"""

from collections.abc import Iterator
from math import exp, hypot, sqrt
from typing import NamedTuple

from app.brewing.ranged import Ranged
from app.brewing.strength.calibration import UNTAUGHT, Calibration
from app.brewing.strength.cup import Cup
from app.brewing.strength.doubt import doubts
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.brewing.strength.finished import strength
from app.brewing.strength.retention import Retained, expected_retention
from app.brewing.strength.robust import NORMAL_95, PRIOR_WORTH, t_95

# Of log extraction from brew to brew where no brews tell; what one hand repeats (our own choice).
CHANCE_SD = 0.045


class Known(NamedTuple):
    """What was learned of a cup's brewer and grinder, and of what the brewer's grounds hold."""

    calibration: Calibration | None = None
    retained: Retained | None = None


class Difference(NamedTuple):
    """Cup A less cup B, in points of TDS and of the dose; None where one of the two is unknown."""

    strength_pct: Ranged | None
    extraction_pct: Ranged | None


class _Move(NamedTuple):
    """Logarithm by which the extraction of a cup is moved, and g per g by which what is held is."""

    extraction: float = 0.0
    held: float = 0.0


class _Side(NamedTuple):
    """One cup with its estimate, and all that may move it, by name: one way and the other."""

    cup: Cup
    estimate: Estimate
    held: float
    moves: dict[str, tuple[_Move, _Move]]

    def moved(self, by: _Move) -> tuple[float | None, float]:
        """Strength and extraction (%); no strength where the weights then contradict."""
        if self.estimate.extraction_pct is None:
            return None, 0.0
        of_dose = self.estimate.extraction_pct.value * exp(by.extraction) / 100.0
        held = max(0.0, self.held + by.held)
        made = strength(self.estimate.formula, *self.cup.per_dose(), of_dose, held)
        return None if made is None else 100.0 * made, 100.0 * of_dose


STILL = _Move()


def difference(a: Cup, b: Cup, of_a: Known, of_b: Known, alike: bool) -> Difference:
    """How far ``a`` lies above ``b``, with the range of 95 %.

    ``alike``: both were made with one brewer and one grinder. A measured cup shares nothing with
    the other. Raises ValueError where ``estimate_cup`` does.
    """
    ours, theirs = estimate_cup(a, *of_a), estimate_cup(b, *of_b)
    modelled = ours.formula == theirs.formula != "none"
    if not (alike and modelled) or ours.measured or theirs.measured:
        return Difference(
            _apart(ours.strength_pct, theirs.strength_pct),
            _apart(ours.extraction_pct, theirs.extraction_pct),
        )
    one, other = _side(a, ours, of_a, "a"), _side(b, theirs, of_b, "b")
    pairs = [(one.moved(STILL), other.moved(STILL))]
    pairs += [(one.moved(up), other.moved(down)) for up, down in _moves(one, other)]
    strengths = [x[0] - y[0] for x, y in pairs if x[0] is not None and y[0] is not None]
    known = ours.strength_pct is not None and theirs.strength_pct is not None
    extracted = ours.extraction_pct is not None and theirs.extraction_pct is not None
    return Difference(
        _range(strengths) if known else None,
        _range([x[1] - y[1] for x, y in pairs]) if extracted else None,
    )


def _side(cup: Cup, estimate: Estimate, known: Known, name: str) -> _Side:
    learned = known.calibration or UNTAUGHT
    far = t_95(PRIOR_WORTH + learned.n) * learned.wider if learned.n else NORMAL_95
    retention = expected_retention(cup.kind, known.retained)
    moves = {
        str(doubt.places[0][0][0]): (
            _Move(-far * sqrt(learned.variance([(doubt, doubt.down)]))),
            _Move(far * sqrt(learned.variance([(doubt, doubt.up)]))),
        )
        for doubt in doubts(cup)
    }  # fmt: skip
    chance = far * (learned.brew_sd if learned.n else CHANCE_SD)
    moves[f"the chance of {name}"] = (_Move(-chance), _Move(chance))
    moves["held"] = (
        _Move(held=retention.low - retention.value), _Move(held=retention.high - retention.value)
    )  # fmt: skip
    return _Side(cup, estimate, retention.value, moves)


def _moves(one: _Side, other: _Side) -> Iterator[tuple[_Move, _Move]]:
    """What moves each cup, both ways, what they share together."""
    nothing = (STILL, STILL)
    for name in dict.fromkeys((*one.moves, *other.moves)):
        yield from zip(one.moves.get(name, nothing), other.moves.get(name, nothing), strict=True)


def _range(values: list[float]) -> Ranged:
    """The first value, and around it the others' distances, added as errors are."""
    best, *moved = values
    ends = list(zip(moved[::2], moved[1::2], strict=False))
    up = hypot(*(max(0.0, x - best, y - best) for x, y in ends))
    down = hypot(*(max(0.0, best - x, best - y) for x, y in ends))
    return Ranged(best, best - down, best + up)


def _apart(ours: Ranged | None, theirs: Ranged | None) -> Ranged | None:
    """Of two cups that share nothing."""
    if ours is None or theirs is None:
        return None
    best = ours.value - theirs.value
    down = hypot(ours.value - ours.low, theirs.high - theirs.value)
    up = hypot(ours.high - ours.value, theirs.value - theirs.low)
    return Ranged(best, best - down, best + up)
