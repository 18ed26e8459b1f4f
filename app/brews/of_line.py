"""Brewing for a line of a sitting: the form as it is planned, and the way back to the run sheet."""

from collections.abc import Mapping, Sequence
from urllib.parse import urlencode

from flask import flash, redirect, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.brewing.sitting.wanted import FilterWanted
from app.brews.filling import CAME_OUT, FormValues, PickLists
from app.brews.forms import FRESH, BrewForm
from app.brews.two_brewers import left_and_right
from app.journal.sittings import doing
from app.journal.sittings.cups import CupLike, cup_values
from app.journal.sittings.reading import cups_of, to_brew
from app.web import clock
from app.web.amount_fields import amounts_data
from app.web.fields import number_or_none
from app.web.form_text import text_of, typed_in

Start = list[FormValues] | Response

BREWED = "What this line asks for is brewed already, or is brewed from the page of its trial."


def cups_to_brew(session: Session, line_id: int, lists: PickLists) -> list[FormValues]:
    """The form of each cup that the line still waits for, A before B; none where it waits for
    none."""
    wanted = to_brew(session, line_id)
    if not wanted:
        return []
    cups = cups_of(session, wanted[0].sitting_id).get(wanted[0].sitting_question_id, {})
    filled: list[FormValues] = []
    taken: set[str] = set()
    for one in wanted:
        filled.append(_filled(session, cups[one.letter], lists, taken) | {"line": str(line_id)})
    return list(left_and_right(session, *filled)) if len(filled) == 2 else filled


def _filled(session: Session, cup: CupLike, lists: PickLists, taken: set[str]) -> FormValues:
    data = amounts_data(cup_values(session, cup))
    values: FormValues = {name: data[name] for name in data if name not in CAME_OUT}
    for position, wanted in enumerate(cup.filters, 1):
        named = _filter(wanted, lists, taken)
        values[f"filter_{position}"] = named
        taken.add(named)
    return values


def _filter(wanted: FilterWanted, lists: PickLists, taken: set[str]) -> str:
    """The filter whose next use is nearest to the one wanted, a fresh one of the pack among them;
    the one last used where any will do; none where the pack has none."""
    rows = [row for row in lists.hand if row.pack_id == wanted.pack_id]
    next_use = {str(row.filter_id): row.uses + 1 for row in rows if str(row.filter_id) not in taken}
    if any(pack.id == wanted.pack_id for pack in lists.packs):
        next_use[f"{FRESH}{wanted.pack_id}"] = 1
    if not next_use:
        return ""
    if wanted.use is None:
        return next(iter(next_use))
    use = wanted.use
    return min(next_use, key=lambda named: abs(next_use[named] - use))


def start(session: Session, lists: PickLists, args: Mapping[str, str]) -> Start | None:
    """What a brew for the line named in the address starts from; None where it names none."""
    line_id = number_or_none(args.get("line"))
    if not line_id:
        return None
    cups = cups_to_brew(session, line_id, lists)
    if not cups:
        flash(BREWED)
        return to_sheet(line_id)
    return cups


def elsewhere(cups: int) -> Response:
    """To the form of as many cups as are still to be brewed."""
    to = "two_cups.new" if cups == 2 else "brews.new"
    return redirect(f"{url_for(to)}?{urlencode(request.args)}", 303)


def on_the_clock(*forms: BrewForm) -> Response | None:
    """To the clock of one cup or two, with all that the forms say in the address, where it is asked
    for."""
    if "along" not in request.args:
        return None
    prefix = "a-" if len(forms) == 1 else ""
    texts = [text for form in forms for text in text_of(form)]
    args = {f"{prefix}{name}": text for name, text in typed_in(texts).items()}
    args["a-line"] = forms[0].line.data or ""
    return redirect(f"{url_for('along.show')}?{urlencode(args)}", 303)


def tell(unnoted: Sequence[str]) -> None:
    for text in unnoted:
        flash(text, "error")


def to_sheet(line_id: int) -> Response:
    return redirect(url_for("sittings.line", line_id=line_id), 303)


def note(session: Session, line_id: int, brew_ids: Sequence[int]) -> list[str]:
    """Note the brews of a line that may be gone; why they could not be, in sentences."""
    try:
        return doing.brewed(session, line_id, brew_ids, clock.now())
    except LookupError:
        return []
