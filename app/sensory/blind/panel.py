"""A panel: one trial each, every order of the cups equally often among the tasters.

Equal shares are not independent draws. Where tasters keep to their places, or spread over them,
guessing gets high counts a little more often than the binomial says; some sizes therefore need
one more answer. The sizes come from counting every way to deal the orders, whatever places the
tasters choose (tests/sensory/blind/test_panel.py repeats the count); no source is known.
"""

from app.sensory.blind.discrimination import critical_count
from app.sensory.blind.methods import PANEL
from app.sensory.blind.preference import least_majority

LEVEL = 0.05
ONE_MORE = {2: frozenset({8, 13, 14, 16, 18, 26, 28, 30, 37, 38, 40}), 3: frozenset({7, 9, 16, 23})}
ONE_MORE_PREFERRED = frozenset({6, 12, 17, 18, 20, 28, 30, 37, 38, 40})
# Both ways with three places, where each tail has half of the level: one more, and one fewer.
ONE_MORE_OF_THREE, ONE_FEWER_OF_THREE = frozenset({6, 8, 10, 19, 26, 33, 38}), frozenset({19})
# A greatest count that is close enough has to be one lower for some sizes; for all, then.
PANEL_FEWER = 1


def panel_count(tasters: int, guess: float) -> int:
    """Right answers of a panel that show a difference at .05; ValueError outside PANEL."""
    _check(tasters)
    count = critical_count(tasters, guess, LEVEL)
    if count is None:
        raise ValueError(f"{tasters} tasters are too few to show anything at this level")
    return count + (tasters in ONE_MORE[round(1 / guess)])


def panel_counts(tasters: int, guess: float, *, both_ways: bool) -> tuple[int, int]:
    """The greatest count that shows a difference the other way round (-1: none), and the least."""
    if not both_ways:
        return -1, panel_count(tasters, guess)
    if round(1 / guess) == 2:
        majority = panel_majority(tasters)
        if majority is None:
            raise ValueError(f"{tasters} tasters are too few to show anything at this level")
        return tasters - majority, majority
    _check(tasters)
    count = critical_count(tasters, guess, LEVEL / 2)
    wrong = critical_count(tasters, 1 - guess, LEVEL / 2)
    if count is None:
        raise ValueError(f"{tasters} tasters are too few to show anything at this level")
    fewest = -1 if wrong is None else tasters - wrong - (tasters in ONE_FEWER_OF_THREE)
    return fewest, count + (tasters in ONE_MORE_OF_THREE)


def panel_majority(tasters: int) -> int | None:
    """Answers for one cup that show a preference at .05, two-sided; ValueError outside PANEL."""
    _check(tasters)
    majority = least_majority(tasters, LEVEL)
    if majority is None:
        return None
    needed = majority + (tasters in ONE_MORE_PREFERRED)
    return needed if needed <= tasters else None


def _check(tasters: int) -> None:
    low, high = PANEL
    if not low <= tasters <= high:
        raise ValueError(f"a panel has {low} to {high} tasters")
