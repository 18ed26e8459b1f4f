"""Cups of a blind trial tasted again, once its key was shown: sighted, and kept apart."""

from collections.abc import Iterable
from typing import NamedTuple

from flask import abort, request
from sqlalchemy.orm import Session

from app.journal.blind.open import open_trial_row
from app.journal.blind.poured_from import brews_of_trial
from app.tastings.forms import TastingForm
from app.web.fields import number_or_none


class After(NamedTuple):
    """The trial that cups are tasted after, and whose trial it was."""

    trial_id: int
    number: int
    taster_id: int


class AgainForm(TastingForm):
    """A tasting of cups that are known: it cannot be blind."""

    blind = None


def asked_after(session: Session, brew_ids: Iterable[int]) -> After | None:
    """The trial that the address names; not found unless its key was shown and the brews are its.

    The answer is the same for every trial whose key may not be seen.
    """
    wanted = number_or_none(request.args.get("after"))
    if wanted is None:
        return None
    trial = open_trial_row(session, wanted) or abort(404)
    poured = brews_of_trial(session, wanted) or abort(404)
    if not {*brew_ids} <= {brew_id for _, brew_id in poured.at_hand}:
        abort(404)
    return After(trial.id, trial.number, trial.person_id)
