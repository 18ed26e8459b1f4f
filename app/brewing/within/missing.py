"""What was not noted of the brews that an answer rests on."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.brewing.sentences import Sentence
from app.brewing.within.dimension import Brews, Dimension
from app.brewing.within.order import EVERY, OF_SEVERAL_BEANS
from app.brewing.within.words import capital, count, counted, listed


@dataclass(frozen=True, slots=True)
class Missing:
    """A thing that was not noted of these brews; `everywhere` if of none that have it."""

    dimension: Dimension
    brew_ids: tuple[int, ...]
    everywhere: bool


def missing(brews: Brews, asked: Sequence[Dimension]) -> list[Missing]:
    """In the order of the things; origin and process only where there are several beans."""
    one_bean = len({brew.bean_id for brew in brews}) == 1
    found = []
    for one in EVERY:
        if (one.aside and one not in asked) or (one_bean and one in OF_SEVERAL_BEANS):
            continue
        known = one.known(brews)
        gone = tuple(brew.id for brew in brews if one.has(brew) and brew.id not in known)
        if gone:
            found.append(Missing(one, gone, everywhere=not known))
    return found


def sentences_of(found: Sequence[Missing], brews: int) -> Iterator[Sentence]:
    """What was noted of no brew, then what of some, those missing in as many brews together."""
    nowhere = [one.dimension.name for one in found if one.everywhere]
    if nowhere:
        yield Sentence(f"Not noted: {listed(nowhere)}.")
    by_number: dict[int, list[str]] = {}
    for one in found:
        if not one.everywhere:
            by_number.setdefault(len(one.brew_ids), []).append(one.dimension.name)
    for number, names in sorted(by_number.items(), reverse=True):
        some = f"{count(number)} of the {counted(brews, 'brew')}"
        yield Sentence(capital(f"{listed(names)} not noted in {some}."))
