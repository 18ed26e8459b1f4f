"""What to change about a brew, a bag or a recipe: what costs liking, and at most three changes."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.brewing.bounds import GRINDS
from app.brewing.changes.amounts import Change, Gear, change
from app.brewing.changes.directions import Direction, directions
from app.database import while_unchanged
from app.journal.changes.cups import Base, Held, Scope, TastedCup, read_held
from app.journal.changes.neighbours import Neighbour, neighbours
from app.journal.changes.rivals import rivals
from app.journal.lessons import cup_of
from app.journal.scores import Score, of_one_taster
from app.sensory.scores.apart import ALPHA
from app.sensory.scores.penalties import Answer, Penalty, Side, is_off, penalties
from app.sensory.scores.scales import JUST_RIGHT

MOST_CHANGES = 3
MOST_KEPT = 64
# Half of the 1 in 20 is for what costs liking, half for the cups that differ in one thing.
HALF = ALPHA / 2
SAME_THING = {
    "water_g": "ratio", "bypass_g": "ratio", "dose_g": "ratio", "grind_setting": "grind",
}  # fmt: skip
CLEARLY = 2  # times as many cups on one side as on the other


@dataclass(frozen=True, slots=True)
class Cost:
    """A penalty, and what else could explain it."""

    penalty: Penalty
    rivals: Sequence[str]

    @property
    def clear(self) -> bool:
        return self.penalty.costs and not self.rivals


@dataclass(frozen=True, slots=True)
class Read:
    """One taster's blind or sighted cups: how many, how many with just-right answers and on how
    many days, what costs liking, and what cups differed in one thing."""

    blind: bool
    cups: int
    answered: int
    days: int
    costs: Sequence[Cost]
    neighbours: Sequence[Neighbour]


@dataclass(frozen=True, slots=True)
class Off:
    """An attribute that is off, and in how many of how many cups; `cost` where that was read."""

    attribute: str
    side: Side
    cups: int
    answers: int
    cost: Cost | None = None


@dataclass(frozen=True, slots=True)
class Directed:
    """A published direction for what is `off`, with its amounts, and what cups of the journal that
    were changed so were liked."""

    direction: Direction
    change: Change
    off: Sequence[Off]
    tried: Neighbour | None


@dataclass(frozen=True, slots=True)
class Proposed:
    """One change, and why: cups that were liked better, or a direction."""

    name: str
    after: float | str
    why: Neighbour | Directed


@dataclass(frozen=True, slots=True)
class Advice:
    """Of one taster; `tasters` are all, as (id, name). The first of `read` has most cups."""

    base: Base
    taster_id: int | None
    name: str
    tasters: Sequence[tuple[int, str]]
    read: Sequence[Read]
    off: Sequence[Off]
    proposed: Sequence[Proposed]

    @property
    def worst(self) -> Cost | None:
        """What costs most liking, beyond chance and beyond what else was noted."""
        clear = [cost for read in self.read for cost in read.costs if cost.clear]
        return max(clear, key=lambda cost: cost.penalty.takes, default=None)

    @property
    def silent(self) -> bool:
        return not self.proposed and self.worst is None


def advice(
    session: Session, scope: Scope, row_id: int, taster_id: int | None = None
) -> Advice | None:
    """None where there is no brew to change yet. The latest are kept while nothing is written."""
    kept: dict[tuple[Scope, int, int | None], Advice | None]
    kept = while_unchanged(session, "what to change", dict)
    asked = scope, row_id, taster_id
    if (found := kept.get(asked)) is None:
        held = read_held(session, scope, row_id)
        found = None if held is None else advice_of(held, taster_id, of_this_cup=scope == "brew")
        if len(kept) >= MOST_KEPT:
            kept.clear()
        kept[asked] = found
    return found


def advice_of(held: Held, taster_id: int | None, *, of_this_cup: bool) -> Advice:
    """Of the taster asked for, or of who scored most; `of_this_cup`: what is off is read from the
    brew's own tastings, not from all cups."""
    own = [one for one in held.cups if one.cup.brew_id == held.base.row.id]
    whose = _scores(own if of_this_cup and own else held.cups)
    chosen = of_one_taster(whose, taster_id)
    cups = [one for one in held.cups if one.cup.taster_id == chosen.taster_id]
    kinds = [of for blind in (False, True) if (of := [c for c in cups if c.cup.blind == blind])]
    kinds.sort(key=lambda of: -len(of))
    read = [_read(held, of, HALF / len(kinds)) for of in kinds]
    off = _off_here(own, chosen.taster_id, read) if of_this_cup else _off(read)
    return Advice(
        held.base,
        chosen.taster_id,
        chosen.name,
        chosen.tasters,
        read,
        off,
        _proposed(held.base, off, [one for of in read for one in of.neighbours]),
    )


def _scores(cups: Sequence[TastedCup]) -> list[Score]:
    return [
        Score(cup.id, cup.brew_id, cup.taster_id, cup.taster_name, cup.liking, cup.blind)
        for cup, _ in cups
    ]


def _read(held: Held, cups: Sequence[TastedCup], alpha: float) -> Read:
    answers: dict[str, list[Answer]] = {}
    for cup, said in cups:
        for attribute, step in said.steps().items():
            answers.setdefault(attribute, []).append(
                Answer(cup.brewed_on.toordinal(), cup.liking, step)
            )
    answered = [cup for cup, said in cups if said.steps()]
    return Read(
        cups[0].cup.blind,
        len(cups),
        len(answered),
        len({cup.brewed_on for cup in answered}),
        [_cost(held, cups, one) for one in penalties(answers, alpha)],
        neighbours(held, cups, alpha),
    )


def _cost(held: Held, cups: Sequence[TastedCup], penalty: Penalty) -> Cost:
    if not penalty.costs:
        return Cost(penalty, ())
    steps = [(cup, said.steps().get(penalty.attribute)) for cup, said in cups]
    right = [cup for cup, step in steps if step == JUST_RIGHT]
    off = [cup for cup, step in steps if step is not None and is_off(step, penalty.side)]
    return Cost(penalty, rivals(held, right, off, penalty.found))


def _off(read: Sequence[Read]) -> list[Off]:
    """Sides that clearly outweigh the other, where such cups were not liked better."""
    costs = list(read[0].costs) if read else []
    cups = {(cost.penalty.attribute, cost.penalty.side): cost.penalty.cups for cost in costs}
    found = []
    for cost in costs:
        one = cost.penalty
        other: Side = "too much" if one.side == "too little" else "too little"
        if one.drop >= 0 and one.cups >= CLEARLY * cups.get((one.attribute, other), 0):
            found.append(Off(one.attribute, one.side, one.cups, one.answers, cost))
    return found


def _off_here(own: Sequence[TastedCup], taster_id: int | None, read: Sequence[Read]) -> list[Off]:
    """What the taster said of this brew; said both ways in two tastings, it is not off."""
    costs = {(c.penalty.attribute, c.penalty.side): c for of in read for c in of.costs}
    said: dict[str, set[int]] = {}
    for cup, answers in own:
        if cup.taster_id == taster_id:
            for attribute, step in answers.steps().items():
                said.setdefault(attribute, set()).add((step > JUST_RIGHT) - (step < JUST_RIGHT))
    found = []
    for attribute, ways in said.items():
        if ways in ({1}, {-1}):
            side: Side = "too much" if ways == {1} else "too little"
            found.append(Off(attribute, side, 1, 1, costs.get((attribute, side))))
    return found


def _proposed(base: Base, off: Sequence[Off], beside: Sequence[Neighbour]) -> list[Proposed]:
    """Neighbours that were liked better first, then published directions for what is off."""
    found: list[Proposed] = []
    for one in beside:
        if one.better and one.differs.name not in [p.name for p in found]:
            found.append(Proposed(one.differs.name, one.value, one))
    sides = {one.attribute: 1 if one.side == "too little" else -1 for one in off}
    gear = Gear(base.row.capacity_g, base.set.grinder_id is not None)
    for direction in directions(sides):
        made = change(direction.lever, cup_of(base.measured), base.estimate, gear)
        if made is None:
            continue
        tried, things = _tried(made, beside), [_same_thing(one.name) for one in found]
        if (tried and tried.worse) or _same_thing(made.name) in things:
            continue
        helped = [one for one in off if one.attribute in direction.helps]
        why = Directed(direction, made, helped, tried)
        found.append(Proposed(made.name, made.after, why))
    return found[:MOST_CHANGES]


def _same_thing(name: str) -> str:
    return SAME_THING.get(name, name)


def _tried(made: Change, beside: Sequence[Neighbour]) -> Neighbour | None:
    """Cups of the journal that differed in the same thing, the same way; a number on a grinder
    does not say which way is finer."""
    before, after = _order(made.before), _order(made.after)
    up = (after > before) != (made.name == "dose_g")  # less coffee is more water to it
    name = "ratio" if made.name in ("water_g", "dose_g") else made.name
    way = "more" if up else "less"
    return next((one for one in beside if one.differs == (name, way)), None)


def _order(value: float | str) -> float:
    return GRINDS.index(value) if isinstance(value, str) else value
