"""Two groups of cups compared: each taster by themselves, blind and sighted apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import fmean

from sqlalchemy.orm import Session

from app.journal.bags import frozen_spans
from app.journal.groups.cups import CupRow, Cups, read_cups
from app.journal.groups.things import Noting, things
from app.journal.groups.wanted import Wanted
from app.journal.pairs.setup import LABELS, WORTH_NOTING
from app.sensory.scores.apart import ALPHA, Apart, Days, Scored, apart, by_day, enough, spread
from app.sensory.scores.balance import Beside, Verdict, beside, scored_alike


@dataclass(frozen=True, slots=True)
class Side:
    """One group of a stratum: its scores and the means of its days."""

    cups: Sequence[CupRow]
    days: int
    mean: float | None
    spread: float | None

    @property
    def count(self) -> int:
        return len(self.cups)


@dataclass(frozen=True, slots=True)
class Stratum:
    """The cups of one taster, all blind or all sighted. `found` is None where a group is empty.

    `scored` says whether as many of the brews were scored in both. Where the groups are told apart
    by their tasters, `name` is empty.
    """

    taster_id: int
    name: str
    blind: bool
    a: Side
    b: Side
    both_days: int
    found: Apart | None
    balance: Sequence[Beside]
    scored: Verdict

    @property
    def rivals(self) -> list[str]:
        """What else could explain the difference."""
        named = [one.name for one in self.balance if one.verdict == "could explain"]
        return [*named, *(["which cups were scored"] if self.scored == "could explain" else [])]

    @property
    def not_noted(self) -> list[str]:
        """What is worth a note and has none for most of the cups."""
        worth = {LABELS[name] for name in WORTH_NOTING}
        return [
            one.name for one in self.balance if one.verdict == "not noted" and one.name in worth
        ]

    @property
    def differing(self) -> list[str]:
        return [one.name for one in self.balance if one.verdict == "differs"]


@dataclass(frozen=True, slots=True)
class Compared:
    """`strata` in which both groups have cups come first, those of most days first; `looked_at` is
    how many of them have enough days, and share the 1 in 20."""

    strata: Sequence[Stratum]
    looked_at: int
    in_both: int
    brews: tuple[int, int]
    since: date | None


def compare_groups(session: Session, a: Wanted, b: Wanted, *, rest: bool = False) -> Compared:
    """Read both groups and hold them against each other; with `rest`, B is what is not A."""
    cups = read_cups(session, a, b, rest=rest)
    frozen = frozen_spans(session, {row.bag_id for row in cups.rows})
    return hold_against(cups, Noting(a, b, cups.stacks, frozen))


def hold_against(cups: Cups, noting: Noting) -> Compared:
    """The cups that were read, each taster's by themselves, blind and sighted ones apart."""
    kinds: dict[tuple[int, bool], list[CupRow]] = {}
    for row in cups.rows:
        kinds.setdefault((row.taster_id if noting.one_taster else 0, row.blind), []).append(row)
    days = {kind: _days(rows) for kind, rows in kinds.items()}
    looked_at = sum(enough(one) for one in days.values())
    alpha = ALPHA / max(looked_at, 1)
    strata = [_stratum(rows, days[kind], cups, noting, alpha) for kind, rows in kinds.items()]
    strata.sort(key=lambda one: (one.found is None, -min(one.a.days, one.b.days), -one.a.days))
    return Compared(strata, looked_at, cups.in_both, cups.brews, cups.since)


def _days(rows: Sequence[CupRow]) -> Days:
    return by_day([Scored(row.brewed_on.toordinal(), bool(row.in_a), row.liking) for row in rows])


def _stratum(
    rows: Sequence[CupRow], days: Days, cups: Cups, noting: Noting, alpha: float
) -> Stratum:
    found = apart(days, alpha)
    of_a = [row for row in rows if row.in_a]
    of_b = [row for row in rows if not row.in_a]
    measured = found is not None and found.low is not None
    first = rows[0]
    return Stratum(
        taster_id=first.taster_id,
        name=first.taster_name if noting.one_taster else "",
        blind=first.blind,
        a=_side(of_a, list(days.a.values())),
        b=_side(of_b, list(days.b.values())),
        both_days=len(days.both),
        found=found,
        balance=_balance(rows, noting, days, found) if found and measured else (),
        scored=_scored(of_a, of_b, cups) if measured else "alike",
    )


def _balance(rows: Sequence[CupRow], noting: Noting, days: Days, found: Apart) -> list[Beside]:
    cups = [(row.brewed_on.toordinal(), bool(row.in_a)) for row in rows]
    return beside(things(rows, noting), cups, days, found)


def _side(cups: Sequence[CupRow], days: list[float]) -> Side:
    return Side(cups, len(days), fmean(days) if days else None, spread(days))


def _scored(of_a: Sequence[CupRow], of_b: Sequence[CupRow], cups: Cups) -> Verdict:
    scored = len({row.brew_id for row in of_a}), len({row.brew_id for row in of_b})
    return scored_alike(scored, cups.brews)
