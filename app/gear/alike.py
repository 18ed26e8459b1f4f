"""Which brewers are alike: a field of their form, and the notes of those it concerns besides."""

from contextlib import ExitStack
from functools import partial

from sqlalchemy.orm import Session

from app.gear.forms import BrewerForm
from app.journal import alike
from app.journal.gear import brewers
from app.journal.history import Thing
from app.models import Brewer
from app.web.changing import noting


def as_it_stands(session: Session, brewer: Brewer) -> BrewerForm:
    """The form of a brewer; alike to the first of the others, as alike ones may be several."""
    others = alike.alike_to(session, brewer)
    form = BrewerForm(obj=brewer, data={"alike_id": others[0].id if others else None})
    offer(session, form, brewer)
    return form


def offer(session: Session, form: BrewerForm, brewer: Brewer | None = None) -> None:
    """Let the form choose among the other brewers; what it is alike to stays, in the bin or not."""
    others = alike.alike_to(session, brewer) if brewer else []
    rows = brewers(session, others[0].id if others else None)
    form.others = {row.id: row for row in rows if brewer is None or row.id != brewer.id}
    form.alike_id.pick_from(((row.id, row.name) for row in form.others.values()), none="–")


def save(session: Session, brewer: Brewer, other_id: int | None) -> None:
    """Mark a brewer as alike to another, or to none; a change of all whose form then differs.

    Nothing is locked where all stays as it is, so that two brewers can be changed at once. Raises
    ValueError with a sentence where they cannot be alike.
    """
    others = {other.id: other.kind for other in alike.alike_to(session, brewer)}
    stays = other_id in others if other_id else not others
    if stays and set(others.values()) <= {brewer.kind}:
        return
    with ExitStack() as notes:
        for other in alike.touched(session, brewer, other_id):
            filled = partial(as_it_stands, session, other)
            notes.enter_context(noting(session, Thing("brewer", other.id), "", filled))
        alike.set_alike(session, brewer, other_id)


def add_another(session: Session, brewer: Brewer) -> Brewer:
    """One more of a brewer, alike to it, of the same kind and size and with a name of its own."""
    another = alike.one_more(session, brewer)
    save(session, another, brewer.id)
    return another
