"""The charts of a blind test, each with its table: evidence over trials, counts inside chance."""

from dataclasses import dataclass
from itertools import accumulate

from app.blind.words import evidence
from app.charts.evidence import Boundary, evidence_path, funnel
from app.charts.figure import Chart
from app.journal.blind.plan import fixed_answers, guess_of, judged_by_controls, rule_of
from app.journal.blind.standing import Standing
from app.models import BlindTest
from app.sensory.blind.discrimination import chance_band, correct_share
from app.sensory.blind.evalue import CLOSE_AT, SHOWN_AT, log_evidence, log_evidence_close
from app.sensory.blind.preference import evidence_either
from app.sensory.blind.preference_rule import preference_lines
from app.sensory.blind.sequential import Lines
from app.sensory.lazy import np
from app.sensory.terms import RuleName

AHEAD = 10
LEAST = 20
LINES: dict[RuleName, tuple[str, str]] = {
    "every morning": ("line of difference", "line of close enough"),
    "fixed number": ("needed for a difference", "no longer enough"),
    "step by step": ("line of difference", "line of close enough"),
}
EVIDENCE = "Evidence over the trials"
PREFERENCE_LINES = ("line for A", "line for B")


@dataclass(frozen=True, slots=True)
class Charts:
    evidence: Chart | None
    count: Chart


def charts(test: BlindTest, read: Standing) -> Charts | None:
    """Both charts of a test with answers, the evidence where its rule goes by evidence.

    None where guessing is not the yardstick: the band of chance would be a wrong one.
    """
    if not read.n or judged_by_controls(test):
        return None
    if read.preference:
        return _preference_charts(test, read)
    counts = list(accumulate(map(int, read.rights)))
    evidence = _evidence(test, counts) if test.rule == "every morning" else None
    lines = rule_of(test).lines(max(len(counts) + AHEAD, LEAST))
    count = _count(counts, guess_of(test.method), lines, "right answers", LINES[test.rule])
    return Charts(evidence, count)


def _evidence(test: BlindTest, counts: list[int]) -> Chart:
    guess = guess_of(test.method)
    s, n = np.array(counts), np.arange(1, len(counts) + 1)
    for_difference = np.exp(np.clip(log_evidence(s, n, guess), -20, 20)).tolist()
    p1 = correct_share(test.p_d, guess)
    for_close = np.exp(np.clip(log_evidence_close(s, n, p1), -20, 20)).tolist()
    drawn = evidence_path(
        for_difference, what="difference", shown_at=SHOWN_AT, close=for_close, close_at=CLOSE_AT
    )
    rows = [
        [str(at), str(count), evidence(more), evidence(mirror)]
        for at, count, more, mirror in zip(
            n.tolist(), counts, for_difference, for_close, strict=True
        )
    ]
    head = ["Trials#", "Right#", "For a difference#", "For close enough#"]
    return Chart(EVIDENCE, drawn, head, rows)


def _count(
    counts: list[int], guess: float, lines: Lines, what: str, names: tuple[str, str]
) -> Chart:
    bands = [(0, 0), *(chance_band(n, guess) for n in range(1, len(lines.shown) + 1))]
    low, high = [band[0] for band in bands], [band[1] for band in bands]
    # Both lines from before the first trial on, broken where no count can reach them.
    shown = [count if count <= n else None for n, count in enumerate(lines.shown, 1)]
    ended = [count if count >= 0 else None for count in lines.ended]
    drawn_lines = [Boundary(names[0], [None, *shown]), Boundary(names[1], [None, *ended])]
    drawn = funnel([0, *counts], low, high, drawn_lines, y_title=what)
    rows = [
        [str(n), str(count), f"{low[n]}–{high[n]}", str(needed) if needed <= n else "–"]
        for n, (count, needed) in enumerate(zip(counts, lines.shown, strict=False), 1)
    ]
    head = ["Trials#", f"{what.capitalize()}#", "Chance, 95 of 100#", "Shows at#"]
    return Chart("The count inside chance", drawn, head, rows)


def _preference_charts(test: BlindTest, read: Standing) -> Charts | None:
    for_a = [choice.preferred == "A" for choice in read.choices if choice.preferred]
    if not for_a:
        return None
    counts = list(accumulate(map(int, for_a)))
    both = preference_lines(fixed_answers(test), max(len(counts) + AHEAD, LEAST))
    count = _count(counts, 0.5, both, "A preferred", PREFERENCE_LINES)
    if test.fixed_trials:
        return Charts(None, count)
    path = [evidence_either(a, n) for n, a in enumerate(counts, 1)]
    rows = [
        [str(n), str(a), str(n - a), evidence(e)]
        for n, (a, e) in enumerate(zip(counts, path, strict=True), 1)
    ]
    head = ["Answers#", "A#", "B#", "Evidence#"]
    drawn = evidence_path(path, what="preference", shown_at=SHOWN_AT)
    return Charts(Chart(EVIDENCE, drawn, head, rows), count)
