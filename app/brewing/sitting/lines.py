"""The lines of a plan: what is done one after another, how long each takes, what goes with it."""

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from app.brewing.sitting.order import NOTICED, Between, between, end_s, start_s
from app.brewing.sitting.plan import Line
from app.brewing.sitting.rounds import Round, batch_s
from app.brewing.sitting.times import CLEAR_S, POUR_OUT_S, REST_S, TASTE_S, trial_s

SIP = "Rinse your mouth with water, and wait a little."
CLEAR = "Rinse your mouth, take a bite of plain cracker, clear the cups."
LONGER = "A fainter cup comes next: rinse your mouth twice, take a plain cracker, and wait."
WASH_UP = "Wash up."


def lines_of(rounds: Sequence[Round]) -> tuple[Line, ...]:
    """The lines of rounds that are in order."""
    lines: list[Line] = []
    before_s = start_s(rounds[0]) if rounds else 0
    for one, then in zip_longest(rounds, rounds[1:]):
        gap = between(one, then) if then else None
        lines += _of_round(one, gap, before_s, len(lines))
        if gap:
            rests = LONGER if gap.carried else CLEAR
            lines.append(_rest(one, gap.rest_s, rests))
            before_s = gap.left_s
    if rounds:
        lines.append(_rest(rounds[-1], CLEAR_S + end_s(rounds[-1]), WASH_UP))
    return tuple(lines)


def _of_round(one: Round, gap: Between | None, before_s: int, place: int) -> Iterator[Line]:
    first_s = before_s
    for batch, lasts_s in zip(one.batches, batch_s(one), strict=True):
        yield Line(kind="brew", question_id=one.question_id, lasts_s=first_s + lasts_s, brews=batch)
        first_s = 0
    cups = 2 if one.pair else one.cups_a_trial
    yield Line(
        kind="cool",
        question_id=one.question_id,
        lasts_s=cups * POUR_OUT_S + one.cool_s,
        of=place,
        cups=cups,
        says=_meanwhile(one, gap),
    )
    if one.pair:
        yield Line(
            kind="taste",
            question_id=one.question_id,
            lasts_s=TASTE_S,
            of=place,
            cups=2,
            says=_first(one),
        )
    for number in one.trials:
        if one.pair or number != one.trials[0]:
            yield _rest(one, REST_S, SIP)
        yield Line(
            kind="trial",
            question_id=one.question_id,
            lasts_s=trial_s(one.cups_a_trial),
            of=place,
            trial=number,
            cups=one.cups_a_trial,
        )


def _rest(one: Round, lasts_s: int, says: str) -> Line:
    return Line(kind="rest", question_id=one.question_id, lasts_s=lasts_s, says=says)


def _first(one: Round) -> str:
    """Which cup comes first, where one is fainter by as much as is noticed."""
    apart = one.of_letter("A") - one.of_letter("B")
    if abs(apart) <= NOTICED:
        return ""
    return f"{'B' if apart > 0 else 'A'} first: it is the fainter one."


def _meanwhile(one: Round, gap: Between | None) -> str:
    """What hands do while cups cool."""
    washed = gap.washed if gap else len(one.batches[-1]) if not end_s(one) else 0
    done = [_brewers("wash up", washed), _brewers("set up", gap.set_up if gap else 0)]
    words = " and ".join(filter(None, done))
    return f"Meanwhile {words}." if words else ""


def _brewers(do: str, count: int) -> str:
    return f"{do} {'a brewer' if count == 1 else f'{count} brewers'}" if count else ""
