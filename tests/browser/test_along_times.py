"""What taps do to the clock of two cups: nothing but seconds, in the browser's own script."""

from __future__ import annotations

from itertools import pairwise, product
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Page

from app.brewing.along.timeline import Brewed, Planned, Timeline, timeline
from app.brewing.along.together import together

pytestmark = pytest.mark.browser

TURN_S = 5
Steps = list[dict[str, Any]]
# Taps in turn, then the clock as it stands at the end.
PLAYED = """async ([plan, taps, until, turn]) => {
    const { before, end, hold, noTaps, phase, skip, times } =
        await import("/static/js/along-times.js");
    const of = Object.fromEntries(Object.keys(plan).map((cup) => [cup, noTaps()]));
    for (const [now, cup, what] of taps) {
        const steps = times(plan, of, now, turn)[cup];
        const at = phase(steps, of[cup], now);
        const earlier = before(steps, at);
        if (what === "done" && at.step) end(steps, of[cup], at, now);
        if (what === "skip" && at.step) skip(steps, of[cup], at, now);
        if (what === "not yet" && earlier !== null) hold(steps, of[cup], earlier);
    }
    return times(plan, of, until, turn);
}"""


@pytest.fixture
def played(desktop: Page, address: str) -> Any:
    desktop.goto(address)

    def play(plan: dict[str, Steps], *taps: tuple[float, str, str], until: float = 0) -> Any:
        return desktop.evaluate(PLAYED, [plan, taps, until, TURN_S])

    return play


def of_script(line: Timeline, begins_s: int = 0) -> Steps:
    return [
        {
            "kind": action.kind,
            "starts": begins_s + action.starts_s,
            "ends": begins_s + action.ends_s,
            "hand": action.takes_a_hand,
        }
        for action in line.actions
    ]


def pair(a: Timeline, b: Timeline) -> dict[str, Steps]:
    first = min(0, start := together(a, b, TURN_S).b_after_a_s)
    return {"A": of_script(a, -first), "B": of_script(b, start - first)}


def cup(steep_s: int = 90) -> Timeline:
    """Poured in 19 s, stirred for 10 s, pressed in 20 s."""
    return timeline([], Brewed(water_g=190, stirs=1, steep_s=steep_s, press_s=20))


def recipe(lots: Random) -> Timeline:
    steps, now = [], 0
    for _ in range(lots.randint(1, 7)):
        starts = now + lots.choice((0, 0, lots.randint(1, 60)))
        kind = lots.choice(("pour", "stir", "steep", "press"))
        lasts = lots.randint(1, 120 if kind == "steep" else 30)
        steps.append(Planned(kind=kind, starts_s=starts, lasts_s=lasts))
        now = starts + lasts
    return timeline(steps, Brewed(water_g=200))


def told(steps: Steps) -> list[tuple[str, float, float]]:
    return [(step["kind"], step["starts"], step["ends"]) for step in steps]


def begins(steps: Steps) -> list[float]:
    return [step["starts"] for step in steps]


def test_without_taps_the_plan_stands(played: Any) -> None:
    lots = Random(11)
    for _ in range(40):
        plan = pair(recipe(lots), recipe(lots))
        found = played(plan, until=lots.randint(0, 400))
        assert {letter: told(steps) for letter, steps in found.items()} == {
            letter: told(steps) for letter, steps in plan.items()
        }


def test_who_pours_fast_goes_on_and_presses_when_the_steep_is_over(played: Any) -> None:
    found = played({"A": of_script(cup())}, (12, "A", "done"), (20, "A", "done"))
    assert told(found["A"]) == [
        ("pour", 0, 12),
        ("stir", 12, 20),
        ("steep", 20, 90),
        ("press", 90, 110),
    ]


def test_who_pours_slowly_says_so_afterwards(played: Any) -> None:
    late = ((22, "A", "not yet"), (26, "A", "done"))
    found = played({"A": of_script(cup())}, *late)
    assert told(found["A"])[:3] == [("pour", 0, 26), ("stir", 26, 36), ("steep", 36, 90)]
    still = played({"A": of_script(cup())}, late[0], until=40)
    assert told(still["A"])[:2] == [("pour", 0, 40), ("stir", 40, 50)]


def test_a_press_begun_late_and_ended_late(played: Any) -> None:
    found = played(
        {"A": of_script(cup())},
        (93, "A", "not yet"),  # still steeping
        (97, "A", "done"),
        (120, "A", "not yet"),  # the clock called it ready at 117
        (124, "A", "done"),
    )
    assert told(found["A"])[2:] == [("steep", 29, 97), ("press", 97, 124)]


def test_a_tap_too_soon_is_taken_back(played: Any) -> None:
    plan = {"A": of_script(cup())}
    found = played(plan, (4, "A", "done"), (5, "A", "not yet"), (19, "A", "done"))
    assert told(found["A"]) == told(plan["A"])


def test_a_skipped_step_takes_no_time_and_the_steep_still_counts_from_the_water(
    played: Any,
) -> None:
    found = played({"A": of_script(cup())}, (21, "A", "skip"))
    assert [(step["kind"], step["ends"]) for step in found["A"] if not step["skipped"]] == [
        ("pour", 19),
        ("steep", 90),
        ("press", 110),
    ]
    assert found["A"][2]["starts"] == 21


def test_nobody_begins_before_hands_are_free(played: Any) -> None:
    plan = pair(cup(), cup())
    assert begins(plan["B"]) == [34, 53, 63, 124]
    late = played(plan, (30, "A", "not yet"), (41, "A", "done"))  # A was stirred until 41
    assert begins(late["A"]) == [0, 19, 41, 90]
    assert begins(late["B"]) == [46, 65, 75, 136]
    pressed_late = played(plan, (91, "A", "not yet"), (108, "A", "done"))
    assert begins(pressed_late["A"])[-1] == 108
    assert told(pressed_late["B"])[-2:] == [("steep", 63, 133), ("press", 133, 153)]


def test_the_second_cup_waits_for_a_first_that_begins_late(played: Any) -> None:
    plan = pair(cup(), cup())
    found = played(plan, (3, "A", "not yet"), (50, "A", "done"))
    assert begins(found["A"]) == [50, 69, 79, 140]
    assert begins(found["B"]) == [84, 103, 113, 174]


def test_whatever_is_tapped_hands_are_at_one_cup_and_no_step_runs_backwards(played: Any) -> None:
    lots = Random(12)
    for _ in range(60):
        plan = pair(recipe(lots), recipe(lots))
        times = sorted(lots.uniform(0, 300) for _ in range(lots.randint(1, 8)))
        taps = [(now, lots.choice("AB"), lots.choice(("done", "not yet", "skip"))) for now in times]
        found = played(plan, *taps, until=times[-1])
        for steps in found.values():
            for one, after in pairwise(steps):
                assert one["starts"] <= one["ends"] + 1e-9
                assert one["ends"] <= after["starts"] + 1e-9
        tapped = {now for now, _, what in taps if what != "not yet"}
        by_clock = [
            [one for one in found[letter] if one["hand"] and not one["skipped"]] for letter in "AB"
        ]
        for ours, theirs in product(*by_clock):
            if {ours["starts"], theirs["starts"], ours["ends"], theirs["ends"]} & tapped:
                continue  # whoever taps it so has done it so
            assert (
                ours["ends"] + TURN_S <= theirs["starts"] + 1e-9
                or theirs["ends"] + TURN_S <= ours["starts"] + 1e-9
            )
