"""Two cups in two brewers that are alike: A in the left one, B in the right one."""

from collections.abc import Mapping

from sqlalchemy.orm import Session

from app.brews.filling import SLOTS, FormValues, PickLists
from app.brews.two import beside
from app.journal.alike import left_to_right
from app.journal.on_hand import last_brewers


def both_cups(
    session: Session, first: FormValues, lists: PickLists
) -> tuple[FormValues, FormValues]:
    """What the cups start from; a household with one brewer of the kind takes it for both.

    A filter stays in the brewer that it sits in.
    """
    a, b = left_and_right(session, first, beside(first, lists.hand, lists.packs))
    if a["brewer_id"] == b["brewer_id"]:
        return a, b
    swapped = a | _filters(b), b | _filters(a)
    named = [str(values.get(slot) or "") for values in (a, b) for slot in SLOTS]
    sits_in = last_brewers(session, [int(name) for name in named if name.isdecimal()])
    return max((a, b), swapped, key=lambda cups: sum(_at_home(cup, sits_in) for cup in cups))


def left_and_right(session: Session, a: FormValues, b: FormValues) -> tuple[FormValues, FormValues]:
    """The cups in two brewers that are alike, where both are meant for one of them."""
    named = [values.get("brewer_id") for values in (a, b)]
    brewers = left_to_right(session, named[0]) if isinstance(named[0], int) else []
    if len(brewers) < 2 or named[1] not in brewers:
        return a, b
    return a | {"brewer_id": brewers[0]}, b | {"brewer_id": brewers[1]}


def _filters(values: FormValues) -> FormValues:
    return {slot: values.get(slot, "") for slot in SLOTS}


def _at_home(values: FormValues, sits_in: Mapping[int, int]) -> int:
    """How many filters of a cup were last used in its brewer."""
    homes = {str(filter_id): brewer_id for filter_id, brewer_id in sits_in.items()}
    return sum(homes.get(str(values.get(slot))) == values["brewer_id"] for slot in SLOTS)
