"""Where a blind test stands: what was counted, what it says, and what it does not say."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.journal.blind.answers import Answers
from app.journal.blind.beside import beside
from app.journal.blind.compared import compared
from app.journal.blind.keys import choice_of, is_right
from app.journal.blind.plan import fixed_answers, has_controls, judged_by_controls, rule_of
from app.journal.blind.sealed import FinishedTrial
from app.models import BlindTest
from app.sensory.blind.control import Compared
from app.sensory.blind.counts import Counts, read_counts, read_sureness
from app.sensory.blind.detection_words import hits_and_false_alarms
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.preference import Choice, Preference, read_choices
from app.sensory.blind.preference_rule import settled_choices
from app.sensory.blind.preference_words import said
from app.sensory.blind.record import Record, panel_of
from app.sensory.blind.sequential import Rule, settled
from app.sensory.blind.verdict import verdict
from app.sensory.terms import MARK_LOST, Discrimination, End, Letter, State

NOT_A_DIFFERENCE_ONLY = (
    "It says that A and B are told apart more often than two brews of A, not which is better."
)
NEITHER = "It says neither that there is a difference nor that there is none."
LOST = (
    "{} with a mark that could not be read: that may have been right or wrong, and the verdict has "
    "to hold either way."
)
LOST_PREFERENCE = (
    "{} with a mark that could not be read: that may have been for either cup, and the verdict has "
    "to hold both ways."
)
ENDED_OTHERWISE = (
    "It was ended as “{}” by an earlier version, which counted its trials less strictly: what they "
    "say stands here."
)


@dataclass(frozen=True, slots=True)
class Standing:
    """A test's state in one sentence, and the numbers behind it.

    `rights` are the answers counted, in the order given, up to the one that ended the test (a lost
    mark as wrong); `after` are those that came later and are not counted. `beside` is what belongs
    to the sentence: answers that wait, marks that came too late, void trials. `sums` are the
    figures behind it. `way` is the cup shown to have more of what was named, or to be preferred;
    `other_way` says that it is not the one named.
    """

    state: State
    sentence: str
    not_said: str
    cautions: tuple[str, ...]
    after: int
    rights: tuple[bool, ...] = ()
    counts: Counts | None = None
    choices: tuple[Choice, ...] = ()
    preference: Preference | None = None
    control: Compared | None = None
    sureness: str = ""
    sums: tuple[str, ...] = ()
    way: Letter | None = None
    other_way: bool = False
    beside: tuple[str, ...] = ()

    @property
    def n(self) -> int:
        """How many answers count."""
        return len(self.choices) if self.preference else len(self.rights)

    @property
    def correct(self) -> int:
        return sum(self.rights)

    @property
    def ends(self) -> End | None:
        """How the test ended, if it did."""
        return None if self.state == "open" else self.state


def standing(test: BlindTest, answers: Answers) -> Standing:
    """What the answers of a test say, and what stands beside that."""
    read = _standing(test, [trial for trial in answers.read if not trial.warm_up])
    told = beside(test, answers)
    if test.ended not in (None, "stopped", read.state):
        told = (*told, ENDED_OTHERWISE.format(test.ended))
    return replace(read, beside=told)


def _standing(test: BlindTest, counted: list[FinishedTrial]) -> Standing:
    real = [trial for trial in counted if not trial.is_control]
    if test.method == "preference":
        return _preference(test, real)
    right = [_right_or_lost(test, trial) for trial in real]
    if judged_by_controls(test):
        return _against_controls(test, counted)
    return _against_guessing(test, test.method, real, right, counted)


def _right_or_lost(test: BlindTest, trial: FinishedTrial) -> bool | None:
    """None where the mark could not be read: the answer may be right or wrong."""
    lost = trial.lifted == MARK_LOST
    return None if lost else is_right(test.method, test.more, trial)


def _against_guessing(
    test: BlindTest,
    method: Discrimination,
    real: list[FinishedTrial],
    right: list[bool | None],
    counted: list[FinishedTrial],
) -> Standing:
    rule = rule_of(test)
    end = settled(rule, right)
    n = end[0] if end else len(right)
    judged, rights = real[:n], [bool(one) for one in right[:n]]
    names = {trial.taster_name for trial in judged}
    record = Record(
        method, test.claim, rule, sum(rights), n,
        panel_of([trial.taster_id for trial in judged]), test.attribute, test.ended,
        more=test.more or "B", taster=names.pop() if len(names) == 1 else "",
        lost=right[:n].count(None),
    )  # fmt: skip
    result = verdict(record)
    sure = [
        (ok, trial.sure) for ok, trial in zip(rights, real, strict=False) if trial.sure is not None
    ]
    return Standing(
        state=result.state,
        sentence=result.sentence,
        not_said=result.not_said,
        cautions=result.cautions + _lost(judged, LOST),
        after=len(right) - n,
        rights=tuple(rights),
        counts=read_counts(method, record.correct, n, test.p_d, record.rule, record.lost),
        control=compared(test, counted, end and end[0], decides=False)
        if has_controls(test)
        else None,
        sureness=read_sureness(sure).sentence if sure else "",
        sums=result.sums + _said(method, rule, judged, right[:n]),
        way=result.way,
        other_way=result.other_way,
    )


def _said(
    method: Discrimination, rule: Rule, judged: list[FinishedTrial], right: list[bool | None]
) -> tuple[str, ...]:
    """What was said to cups of each kind, where answers are words; lost marks tell nothing."""
    first = [trial.answer == 1 for trial in judged]  # the first of the two words was said
    known = [(said == ok, said) for said, ok in zip(first, right, strict=True) if ok is not None]
    all_in = isinstance(rule, FixedNumber) and len(known) == rule.trials
    told = hits_and_false_alarms(method, known, fixed=all_in)
    return (told,) if told else ()


def _against_controls(test: BlindTest, counted: Sequence[FinishedTrial]) -> Standing:
    """One exact comparison with A against A: guessing is no baseline where more than it gets may
    be right without a difference."""
    real = [trial for trial in counted if not trial.is_control]
    read = compared(test, counted, test.fixed_trials, decides=True)
    ended = test.ended if test.ended in ("stopped", None) else "undecided"
    state: State = read.state if read.state != "open" else ended or "open"
    return Standing(
        state=state,
        sentence=read.sentence,
        not_said=NOT_A_DIFFERENCE_ONLY if state == "shown" else NEITHER,
        cautions=(*_lost(real[: read.n], LOST), *filter(None, [read.sums])),
        after=len(real) - read.n,
        rights=tuple(is_right(test.method, test.more, trial) for trial in real[: read.n]),
    )


def _preference(test: BlindTest, real: list[FinishedTrial]) -> Standing:
    answered = [(choice_of(trial), trial) for trial in real]
    planned = fixed_answers(test)
    end = settled_choices([choice for choice, _ in answered], planned)
    n = end[0] if end else len(answered)
    judged = [(replace(choice, taster=of.taster_name), of) for choice, of in answered[:n] if choice]
    state: State = end[1] if end else "stopped" if test.ended == "stopped" else "open"
    choices = tuple(choice for choice, _ in judged)
    read = read_choices(choices)
    panel = panel_of([trial.taster_id for _, trial in judged])
    result = said(read, planned, state, test.claim, panel)
    return Standing(
        state=state,
        sentence=result.sentence,
        not_said=result.not_said,
        cautions=result.cautions + read.cautions + _lost(real[:n], LOST_PREFERENCE),
        after=len(answered) - n,
        choices=choices,
        preference=read,
        sums=result.sums,
        way=read.leading if state == "shown" else None,
    )


def _lost(trials: list[FinishedTrial], sentence: str) -> tuple[str, ...]:
    lost = sum(trial.lifted == MARK_LOST and not trial.late for trial in trials)
    if not lost:
        return ()
    return (sentence.format("1 trial" if lost == 1 else f"{lost} trials"),)


def results_hidden(test: BlindTest) -> bool:
    """With balanced orders a result before the end would give away the next key; and who knew
    which trials were A against A could answer these otherwise."""
    return (test.balanced or test.controls > 0) and test.ended is None
