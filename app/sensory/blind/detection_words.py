"""What was said to cups of each kind, in words: hits, false alarms, distance and leaning."""

from app.sensory.blind.detection import Detection, a_not_a, leaning, read_said, same_different
from app.sensory.blind.methods import said as words_of
from app.sensory.terms import Discrimination

KINDS: dict[Discrimination, tuple[str, str]] = {
    "A-not-A": ("to {} of {} cups of A", "to {} of {} others"),
    "same-different": ("of {} of {} pairs of one kind", "of {} of {} different pairs"),
}
FARTHEST = 20.0


def hits_and_false_alarms(
    method: Discrimination, answers: list[tuple[bool, bool]], *, fixed: bool
) -> str:
    """(The first word is right, the first word was said) for each answer, in sentences.

    `fixed` says that all trials of a number fixed beforehand are in; else only the range that
    holds at any stop is given. Empty where the method has no words, and before the first answer.
    """
    words = words_of(method)
    if words is None or not answers:
        return ""
    said, kinds = read_said(answers), KINDS[method]
    found = a_not_a(said) if method == "A-not-A" else same_different(said)
    hits = kinds[0].format(said.hits, said.first)
    alarms = kinds[1].format(said.false_alarms, said.other)
    told = f"“{words[0]}” was said {hits} and {alarms}."
    return " ".join((told, _distance(found, fixed=fixed), _leaning(found, words)))


def _distance(found: Detection, *, fixed: bool) -> str:
    """The distance whichever way round: who takes A for the other cup tells them apart as well."""
    low, high = found.low, found.high
    round_way = ", the other way round" if high < 0 else ""
    if fixed and found.error is not None and found.d_prime is not None:
        turned = ", the other way round" if found.d_prime < 0 else ""
        apart = f"{abs(found.d_prime):.1f}{turned}"
        return f"Distance d′ {apart}, standard error {found.error:.1f}."
    if high < 0:
        low, high = -high, -low
    elif low < 0:
        low, high = 0.0, max(high, -low)
    if high > FARTHEST:
        return f"Distance d′ {low:.1f} or more{round_way}, whenever one looks."
    return f"Distance d′ {low:.1f} to {high:.1f}{round_way}, whenever one looks."


def _leaning(found: Detection, words: tuple[str, str]) -> str:
    said = found.said
    leans = leaning(said)
    if not leans:
        often = f"{said.times} of {said.n} times"
        return f"It was said {often}, which shows no leaning to either answer."
    word = words[0] if leans > 0 else words[1]
    return (
        f"There is a leaning to “{word}”, which is right in half of all trials: it costs right "
        "answers and cannot make any."
    )
