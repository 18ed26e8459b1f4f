"""A brew solved from three of its quantities, and how far off the estimates may put the rest."""

from dataclasses import dataclass, fields

from .cup import Ranged
from .expected import Triple
from .solve import Amounts, solve


@dataclass(frozen=True, slots=True)
class Solved:
    """The best amounts, and each quantity by its name in ``Amounts`` with its range."""

    amounts: Amounts
    ranges: dict[str, Ranged]


def solve_between(formula: str, extraction: Triple, held: Triple, **known: float) -> Solved:
    """``solve`` at the best extraction and retention, and at the ends of both.

    A pair of ends at which no such brew exists is left out of the range. Raises ValueError with a
    sentence where ``solve`` does.
    """
    best = solve(formula, extraction[0], held[0], **known)
    found = [best]
    for part in extraction[1:]:
        for kept in held[1:]:
            try:
                found.append(solve(formula, part, kept, **known))
            except ValueError:  # these ends cannot be brewed so: the range stops short of them
                continue
    return Solved(best, {field.name: _spread(field.name, found) for field in fields(Amounts)})


def _spread(name: str, found: list[Amounts]) -> Ranged:
    values = [float(getattr(amounts, name)) for amounts in found]
    return Ranged(values[0], min(values), max(values))
