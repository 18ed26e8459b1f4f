"""What stands beside a verdict: trials that wait, came too late, are void or not answered."""

from collections.abc import Sequence

from app.journal.blind.answers import Answers
from app.journal.blind.keys import place_names
from app.journal.blind.open import MARK_HOURS, OpenTrial
from app.models import BlindTest
from app.sensory.blind.methods import said

AFTER_KEY = (
    "{} given up after somebody could see the key, or with the cups poured: if that is done where "
    "a cup is hard or a key unwelcome, the result leans."
)


def beside(test: BlindTest, answers: Answers) -> tuple[str, ...]:
    """Sentences that belong to the verdict of a test; none where every trial is read."""
    told = (_waiting(test, answers), _late(test, answers), voided(answers), _unanswered(answers))
    return tuple(text for text in told if text)


def _waiting(test: BlindTest, answers: Answers) -> str:
    waiting = answers.waiting
    if not waiting:
        return ""
    what = "; ".join(f"it was {_given(test, one)}, by {one.taster_name}" for one in waiting)
    many = len(waiting) > 1
    text = f"{_number(len(waiting), 'answer')} wait{'' if many else 's'} for "
    text += f"{'their marks' if many else 'its mark'}: {what}."
    if answers.held_back:
        later = _number(answers.held_back, "later answer")
        text += f" {later} {'is' if answers.held_back == 1 else 'are'} not read before that."
    return f"{text} Not read within {MARK_HOURS} hours, it counts as {_missed(test)}."


def _given(test: BlindTest, trial: OpenTrial) -> str:
    """An answer in words, such as "far right"."""
    words = said(test.method)
    if not trial.answer:
        return "no preference"
    if words:
        return f"“{words[trial.answer - 1]}”"
    return place_names(test.method, True)[trial.answer]


def _late(test: BlindTest, answers: Answers) -> str:
    late = sum(trial.late and not trial.warm_up for trial in answers.read)
    if not late:
        return ""
    counts = "counts" if late == 1 else "count"
    harder = "" if test.method == "preference" else " (for close enough, as right)"
    return (
        f"{_number(late, 'answer')} whose mark was not read within {MARK_HOURS} hours {counts} as "
        f"{_missed(test)}{harder}."
    )


def _missed(test: BlindTest) -> str:
    return "one for the cup that is behind" if test.method == "preference" else "wrong"


def voided(answers: Answers) -> str:
    """How many trials are void and why; empty where none is."""
    voids = answers.voids
    if not voids:
        return ""
    reasons = "; ".join(dict.fromkeys(trial.void_reason.rstrip(".") for trial in voids))
    are = "is" if len(voids) == 1 else "are"
    text = f"{_number(len(voids), 'trial')} {are} void and not counted ({reasons})."
    known = _after_key(voids)
    was = "1 was" if known == 1 else f"{known} were"
    return f"{text} {AFTER_KEY.format(was)}" if known else text


def _after_key(voids: Sequence[OpenTrial]) -> int:
    """How many were void after their card had been opened or their cups poured."""
    return sum(bool(trial.poured_by or trial.served_at) for trial in voids)


def _unanswered(answers: Answers) -> str:
    count = len(answers.unanswered)
    if not count:
        return ""
    if count == 1:
        return "1 trial is served and not answered yet; it counts once it is."
    return f"{count} trials are served and not answered yet; they count once they are."


def _number(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
