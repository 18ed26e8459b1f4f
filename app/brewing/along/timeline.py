"""A brew on its clock: what is done when, for how long it takes a hand, and what is in by then.

Where a recipe leaves a time open, the usual one is assumed and marked (common practice, no source).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

POURED_G_PER_S = 10.0
USUAL_S = {
    "bloom": 10, "pour": 17, "stir": 10, "steep": 110, "turn over": 12, "press": 27, "dilute": 9,
    "ice": 9,
}  # fmt: skip
NO_HAND = "steep"
TURN_OVER = "turn over"  # no step that a recipe tells; a flipped brewer needs it before the press
IN_THE_BREWER = ("bloom", "pour")


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A step as a recipe tells it: seconds from the first water on, grams; None where open."""

    kind: str
    starts_s: int | None = None
    lasts_s: int | None = None
    grams: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brewed:
    """What is known of a cup besides its steps; grams, seconds, None where open."""

    water_g: float
    bypass_g: float = 0.0
    ice_g: float = 0.0
    steep_s: int | None = None
    press_s: int | None = None
    stirs: int | None = None
    is_pressed: bool = False
    is_flipped: bool = False

    @property
    def takes_a_press(self) -> bool:
        return self.is_pressed or self.press_s is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """A step with its times. `poured_g` is what should be in the brewer at its end; `is_assumed`
    where the time it takes is the usual one."""

    kind: str
    starts_s: int
    ends_s: int
    grams: float | None = None
    poured_g: float | None = None
    note: str = ""
    is_assumed: bool = False

    @property
    def takes_a_hand(self) -> bool:
        return self.kind != NO_HAND


@dataclass(frozen=True, slots=True)
class Timeline:
    """The actions of one cup in order; no two of them at one time."""

    actions: tuple[Action, ...]

    @property
    def ends_s(self) -> int:
        return max((action.ends_s for action in self.actions), default=0)

    @property
    def by_hand(self) -> tuple[Action, ...]:
        return tuple(action for action in self.actions if action.takes_a_hand)


def timeline(steps: Sequence[Planned], brew: Brewed) -> Timeline:
    """The clock of a recipe's steps; of the amounts alone where it has none.

    A step without a time begins when the one before it ends, and none begins before that. A steep
    without a length lasts until the next step's time, or until the brew's steep time is over; what
    is pressed without saying when steeps for the usual time.
    """
    no_steep_said = not steps and brew.takes_a_press and brew.steep_s is None
    brew = replace(brew, steep_s=USUAL_S[NO_HAND]) if no_steep_said else brew
    planned = list(steps) or list(_from_amounts(brew))
    actions: list[Action] = []
    now, poured = 0, 0.0
    known = True
    for number, step in enumerate(planned):
        wanted = step.starts_s if step.starts_s is not None else now
        starts = max(now, wanted)
        if step.kind == NO_HAND:
            ends = max(starts, _steeps_until(step, brew, wanted, planned[number + 1 :]))
        else:
            ends = starts + _lasts(step, brew)
        if step.kind in IN_THE_BREWER:
            known = known and step.grams is not None
            poured += step.grams or 0.0
        actions.append(
            Action(
                kind=step.kind,
                starts_s=starts,
                ends_s=ends,
                grams=step.grams,
                poured_g=poured if known and step.kind in IN_THE_BREWER else None,
                note=step.note,
                is_assumed=step.lasts_s is None and (step.kind != NO_HAND or no_steep_said),
            )
        )
        now = ends
    return Timeline(tuple(_turned_over(actions) if brew.is_flipped else actions))


def _turned_over(actions: Sequence[Action]) -> Sequence[Action]:
    """A flipped brewer is turned over at the end of its steep, before it is pressed or runs out;
    where there is no time for it, what follows waits."""
    kinds = [action.kind for action in actions]
    if "press" in kinds:
        place = kinds.index("press")
        wanted_s = actions[place].starts_s
    elif NO_HAND in kinds:
        place = len(kinds) - kinds[::-1].index(NO_HAND)
        wanted_s = actions[place - 1].ends_s
    else:
        return actions
    earlier, later = list(actions[:place]), actions[place:]
    last = earlier[-1] if earlier else None
    free_s = 0 if last is None else last.starts_s if last.kind == NO_HAND else last.ends_s
    begins = max(free_s, wanted_s - USUAL_S[TURN_OVER])
    ends = begins + USUAL_S[TURN_OVER]
    if last is not None and last.ends_s > begins:
        earlier[-1] = replace(last, ends_s=begins)
    turning = Action(kind=TURN_OVER, starts_s=begins, ends_s=ends, is_assumed=True)
    late = max(0, ends - later[0].starts_s) if later else 0
    moved = [replace(one, starts_s=one.starts_s + late, ends_s=one.ends_s + late) for one in later]
    return [*earlier, turning, *moved]


def _steeps_until(step: Planned, brew: Brewed, wanted_s: int, later: Sequence[Planned]) -> int:
    """A steep counts from where it was wanted, whatever hands did meanwhile."""
    if step.lasts_s is not None:
        return wanted_s + step.lasts_s
    next_s = later[0].starts_s if later else None
    return (brew.steep_s or 0) if next_s is None else next_s


def _lasts(step: Planned, brew: Brewed) -> int:
    if step.lasts_s is not None:
        return step.lasts_s
    if step.kind == "press" and brew.press_s is not None:
        return brew.press_s
    if step.grams is not None and step.kind in IN_THE_BREWER:
        return max(5, round(step.grams / POURED_G_PER_S))
    return USUAL_S.get(step.kind, 10)


def _from_amounts(brew: Brewed) -> Iterator[Planned]:
    """The steps of a cup whose recipe tells none: water, stirs, steep, press, what is added."""
    yield Planned(kind="pour", grams=brew.water_g)
    if brew.stirs:
        yield Planned(kind="stir")
    if brew.steep_s is not None or brew.takes_a_press:
        yield Planned(kind=NO_HAND)
    if brew.takes_a_press:
        yield Planned(kind="press", lasts_s=brew.press_s)
    if brew.bypass_g:
        yield Planned(kind="dilute", grams=brew.bypass_g)
    if brew.ice_g:
        yield Planned(kind="ice", grams=brew.ice_g)
