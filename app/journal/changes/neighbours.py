"""Cups that differ in one thing from a brew, and were liked more or less than those like it."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median_low
from typing import Literal, NamedTuple

from app.brewing.bounds import GRINDS
from app.brewing.tolerances import TOLERANCES
from app.journal.along import SetRow, Settings
from app.journal.changes.cups import Held, TastedCup
from app.journal.changes.rivals import rivals
from app.journal.groups.cups import CupRow, Stack
from app.journal.groups.wanted import setting_number
from app.journal.pairs.fairness import SAME_PROPORTION
from app.sensory.scores.apart import Apart, Scored, apart, by_day, enough
from app.sensory.scores.balance import scored_alike

Way = Literal["more", "less"]

# What is set by number, and what else follows from it or says the same.
FOLLOWS = {
    "ratio": ("ratio", "dose"),
    "dose_g": ("dose", "press time"),
    "grind": ("grind", "press time"),
    "grind_setting": ("grind", "grinder setting", "press time"),
    "water_temp_c": ("water temperature",),
    "steep_s": ("steep",),
    "stirs": ("stirs",),
}
# What is a kind: cups that differ in it are no neighbours.
KINDS = ("grinder_id", "water_id", "bypass_g", "ice_g")


class Differs(NamedTuple):
    """The one thing in which a brew differs, and which way: finer is less."""

    name: str
    way: Way


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Cups that differ in one thing (A of `found`) against cups as it is now.

    `value` is that of the thing in the cup in their middle. `rivals` could explain the difference
    as well.
    """

    differs: Differs
    value: float | str
    cups: int
    cups_now: int
    found: Apart
    rivals: Sequence[str]

    @property
    def better(self) -> bool:
        return self.found.higher == "A" and not self.rivals

    @property
    def worse(self) -> bool:
        return self.found.higher == "B" and not self.rivals


def neighbours(held: Held, cups: Sequence[TastedCup], alpha: float) -> list[Neighbour]:
    """Groups of one taster's blind or sighted cups, the best liked first.

    All ranges together leave out `alpha`: those that are long enough for one share it.
    """
    base = held.base
    of_brew = {
        brew_id: differing(base.set, row, base.stack, held.stacks.get(brew_id, ()))
        for brew_id, row in held.settings.items()
    }
    grouped: dict[tuple[Differs, ...], list[CupRow]] = {}
    for cup, _ in cups:
        grouped.setdefault(of_brew[cup.brew_id], []).append(cup)
    now = grouped.get((), [])
    groups = {key[0]: rows for key, rows in grouped.items() if len(key) == 1 and key != KIND}
    if not now:
        return []
    days = {
        differs: by_day([*_scored(rows, in_a=True), *_scored(now, in_a=False)])
        for differs, rows in groups.items()
    }
    each = alpha / max(1, sum(enough(one) for one in days.values()))
    brews = Counter(of_brew.values())
    found = []
    for differs, rows in groups.items():
        if apart_by := apart(days[differs], each):
            also = []
            if apart_by.higher:
                also = rivals(held, rows, now, apart_by, but=FOLLOWS[differs.name])
                scored = len({row.brew_id for row in rows}), len({row.brew_id for row in now})
                if scored_alike(scored, (brews[(differs,)], brews[()])) == "could explain":
                    also.append("which cups were scored")
            value = _value(differs.name, rows, held.settings)
            found.append(Neighbour(differs, value, len(rows), len(now), apart_by, also))
    return sorted(found, key=lambda one: (not one.better, -one.found.difference))


KIND = (Differs("kind", "more"),)


def differing(
    base: SetRow, row: SetRow, base_stack: Stack = (), stack: Stack = ()
) -> tuple[Differs, ...]:
    """What of a brew was set otherwise, beyond what a scale, a kettle and a hand keep to; a kind
    or a value that one of them lacks makes it no neighbour (`KIND`)."""
    if base_stack != stack or any(getattr(base, n) != getattr(row, n) for n in KINDS):
        return KIND
    found: list[Differs] = []
    for name, ours, theirs, same in _numbers(base, row):
        if ours == theirs:
            continue
        if ours is None or theirs is None:
            return KIND
        if abs(ours - theirs) > same + 1e-9:
            found.append(Differs(name, "more" if theirs > ours else "less"))
    return tuple(found)


Number = float | int | None


def _numbers(base: SetRow, row: SetRow) -> Iterator[tuple[str, Number, Number, float]]:
    """Each thing with its values in both brews and the tolerance."""
    ratio, theirs = base.water_g / base.dose_g, row.water_g / row.dose_g
    same = SAME_PROPORTION * ratio
    yield "ratio", ratio, theirs, same
    dose_near = abs(base.dose_g - row.dose_g) <= TOLERANCES["dose_g"] + 1e-9
    water_near = abs(base.water_g - row.water_g) <= TOLERANCES["water_g"] + 1e-9
    if abs(ratio - theirs) <= same:
        yield "dose_g", base.dose_g, row.dose_g, TOLERANCES["dose_g"]
    elif not (dose_near or water_near):
        yield "dose_g", base.dose_g, None, 0.0  # both were set anew
    if base.grind_setting or row.grind_setting:
        settings = setting_number(base.grind_setting), setting_number(row.grind_setting)
        yield "grind_setting", *settings, 0.0
    else:
        yield "grind", _coarseness(base.grind), _coarseness(row.grind), 0.0
    yield "water_temp_c", base.water_temp_c, row.water_temp_c, TOLERANCES["water_temp_c"]
    yield "steep_s", base.steep_s, row.steep_s, TOLERANCES["steep_s"]
    yield "stirs", base.stirs, row.stirs, 0.0


def _coarseness(grind: str) -> int | None:
    return GRINDS.index(grind) if grind else None


def _scored(rows: Sequence[CupRow], *, in_a: bool) -> list[Scored]:
    return [Scored(row.brewed_on.toordinal(), in_a, row.liking) for row in rows]


def _value(name: str, rows: Sequence[CupRow], settings: Settings) -> float | str:
    """Of the cup in the middle, so that it is one that was brewed."""
    of = [settings[row.brew_id] for row in rows]
    if name == "ratio":
        return median_low(one.water_g / one.dose_g for one in of)
    if name == "grind":
        return GRINDS[median_low(GRINDS.index(one.grind) for one in of)]
    if name == "grind_setting":
        return sorted(of, key=lambda one: setting_number(one.grind_setting) or 0.0)[
            (len(of) - 1) // 2
        ].grind_setting
    return float(median_low(getattr(one, name) for one in of))
