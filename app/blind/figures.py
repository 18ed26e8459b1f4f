"""The charts of a blind test, each with its table: evidence over trials, counts inside chance."""

from dataclasses import dataclass
from itertools import accumulate

from app.blind.words import evidence
from app.charts.evidence import Boundary, evidence_path, funnel
from app.charts.figure import Chart
from app.journal.blind.plan import DIRECTED, fixed_answers, guess_of, judged_by_controls, rule_of
from app.journal.blind.standing import Standing
from app.models import BlindTest
from app.sensory.blind.discrimination import chance_band, correct_share, least_share
from app.sensory.blind.evalue import (
    CLOSE_AT,
    SHOWN_AT,
    log_evidence,
    log_evidence_close,
    log_evidence_close_both,
    log_evidence_either,
)
from app.sensory.blind.lines import Band, Lines, Way
from app.sensory.blind.preference import evidence_either
from app.sensory.blind.preference_rule import preference_lines
from app.sensory.lazy import np
from app.sensory.terms import Letter

AHEAD = 10
LEAST = 20
LINES: dict[Way, str] = {
    "shown": "line of difference",
    "other way": "line of the other way round",
    "close enough": "close enough",
}
EVIDENCE = "Evidence over the trials"
PREFERENCE_LINES: dict[Way, str] = {"shown": "line for A", "other way": "line for B"}


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
    what, names = "right answers", LINES
    if test.method in DIRECTED:
        what, names = f"answers for {test.more}", _names_of_cups(test.more or "B")
    return Charts(evidence, _count(counts, guess_of(test.method), lines, what, names))


def _names_of_cups(more: Letter) -> dict[Way, str]:
    other = "A" if more == "B" else "B"
    return LINES | {"shown": f"line for {more}", "other way": f"line for {other}"}


def _evidence(test: BlindTest, counts: list[int]) -> Chart:
    guess, size = guess_of(test.method), test.p_d
    s, n = np.array(counts), np.arange(1, len(counts) + 1)
    p1 = correct_share(size, guess)
    if rule_of(test).both_ways:
        more = log_evidence_either(s, n, guess)
        mirror = log_evidence_close_both(s, n, least_share(size, guess), p1)
    else:
        more, mirror = log_evidence(s, n, guess), log_evidence_close(s, n, p1)
    for_difference = np.exp(np.clip(more, -20, 20)).tolist()
    for_close = np.exp(np.clip(mirror, -20, 20)).tolist()
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
    counts: list[int], guess: float, lines: Lines, what: str, names: dict[Way, str]
) -> Chart:
    bands = [(0, 0), *(chance_band(n, guess) for n in range(1, lines.most + 1))]
    low, high = [band[0] for band in bands], [band[1] for band in bands]
    drawn = funnel([0, *counts], low, high, _boundaries(lines, names), y_title=what)
    named = _named(lines, names)
    rows = [
        [str(n), str(count), f"{low[n]}–{high[n]}", *(_ends_at(band, n) for band in named)]
        for n, count in enumerate(counts[: lines.most], 1)
    ]
    titles = [what, *(_name(band, names) for band in named)]
    first, *others = [f"{title[0].upper()}{title[1:]}#" for title in titles]
    head = ["Trials#", first, "Chance, 95 of 100#", *others]
    return Chart("The count inside chance", drawn, head, rows)


def _named(lines: Lines, names: dict[Way, str]) -> list[Band]:
    """The bands that are drawn; where nothing is close enough, what can no longer be reached."""
    drawn = [band for band in lines.bands if band.end in names]
    last = lines.of("undecided")
    return drawn if last is None or lines.of("close enough") else [*drawn, last]


def _boundaries(lines: Lines, names: dict[Way, str]) -> list[Boundary]:
    """Every line to cross, from before the first trial on, broken where no count can reach it."""
    drawn = []
    for band in _named(lines, names):
        ends = list(zip(band.low, band.high, strict=True))
        least = [None, *(low if low <= high else None for low, high in ends)]
        most = [None, *(high if low <= high else None for low, high in ends)]
        name = _name(band, names)
        if band.end == "shown":
            drawn.append(Boundary(name, least))
            continue
        drawn.append(Boundary(name, most))
        if any(least):
            drawn.append(Boundary(f"{name}, from", least))
    return drawn


def _name(band: Band, names: dict[Way, str]) -> str:
    return names.get(band.end, "no longer enough")


def _ends_at(band: Band, n: int) -> str:
    """The counts that cross a line after n trials."""
    low, high = band.low[n - 1], band.high[n - 1]
    if low > high:
        return "–"
    return f"{low} or more" if band.end == "shown" else f"{low}–{high}" if low < high else str(low)


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
