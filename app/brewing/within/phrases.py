"""How a limit in numbers becomes a phrase, and what lies beyond it another."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from app.brewing.sentences import Amount, Sentence

Write = Callable[..., Sequence[Amount | str]]  # values that rise, all in one unit
Say = Callable[[float, float, bool], Sentence | None]
EVER = float("inf")


def span(frame: str, write: Write, *, one: str = "", each: str = "{}") -> Say:
    """Write a value, or the least and the greatest, into the frame, such as "at {}"; two that are
    apart with "and" between them. `one` is the frame of a single value where it is another, `each`
    that of every value."""

    def say(low: float, high: float, apart: bool) -> Sentence:
        first, last = write(low, high)
        if str(first) == str(last):
            return Sentence((one or frame).format(each), last)
        if isinstance(first, Amount) and isinstance(last, Amount) and _one_unit(first, last):
            first = replace(first, bare=True)
        between = " and " if apart else " to "
        return Sentence(frame.format(f"{each}{between}{each}"), first, last)

    return say


def _one_unit(first: Amount, last: Amount) -> bool:
    return first.unit == last.unit or {first.unit, last.unit} == {"day", "days"}


def _as_text(*values: float) -> list[str]:
    return [str(value) for value in values]


def beyond(
    words: str,
    lower: str,
    upper: str,
    *,
    least: float = -EVER,
    greatest: float = EVER,
    figured: str = "",
    write: Write = _as_text,
) -> Say:
    """What lies below the least and above the greatest, as far as there is anything: in `words`,
    such as "{} water", or `figured`, such as "water {}". Nothing lies beyond `least`, `greatest`.
    """

    def sides(low: float, high: float, with_figures: bool) -> Sentence | None:
        wanted = [(lower, "under", low)] if low > least else []
        wanted += [(upper, "over", high)] if high < greatest else []
        if not wanted:
            return None
        ends = write(low, high) if len(wanted) == 2 else write(wanted[0][2])
        one_value = len(wanted) == 2 and str(ends[0]) == str(ends[1])
        if not (figured and with_figures) or one_value:
            return Sentence(words.format(" or ".join(word for word, _, _ in wanted)))
        said = " or ".join(f"{end} {{}}" for _, end, _ in wanted)
        return Sentence(figured.format(said), *ends)

    return sides
