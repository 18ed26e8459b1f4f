"""Tying brews to a finished trial: nothing is tied before the key may be seen, and the reason given
is the same whatever the key."""

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from app.journal.blind.poured_from import brews_of_trial, same_as, ties_of
from app.journal.blind.uses_then import remember_uses
from app.models import Brew, Trial, TrialBrew
from app.sensory.terms import Letter

NOT_SHOWN = "That trial is not finished, so no brew was tied to it."
NO_CUP = "No brew was tied: was it A or B?"
NOT_THERE = "No brew was tied: please choose one that is in the journal."
TWICE = "This brew is tied to the trial already."
ENOUGH = "No brew was tied: the trial misses none of {}."


def tie(session: Session, trial_id: int, cup: Letter | None, brew_id: int) -> str | None:
    """Note once that a trial's cup was poured from a brew; returns why not, if it cannot be."""
    # Whoever ties another brew at this moment waits, and then finds this one.
    session.execute(select(Trial.id).where(Trial.id == trial_id).with_for_update())
    brews = brews_of_trial(session, trial_id)
    if brews is None:
        return NOT_SHOWN
    if any((tie.cup, tie.brew_id) == (cup, brew_id) for tie in brews.ties):
        return None
    if cup is None:
        return NO_CUP
    if brew_id in brews.brew_ids:
        return TWICE
    if cup not in brews.missing:
        return ENOUGH.format(cup)
    usable = select(Brew.id).where(Brew.id == brew_id, Brew.binned_at.is_(None))
    if session.scalar(usable) is None:
        return NOT_THERE
    session.add(TrialBrew(trial_id=trial_id, brew_id=brew_id, cup=cup))
    session.flush()
    remember_uses(session, brews.test.id, [brew_id])
    return None


def tie_same(session: Session, trial_id: int) -> bool:
    """Tie the brews of another trial of the sitting (see `same_as`); whether there was one."""
    brews = brews_of_trial(session, trial_id)
    source = same_as(session, brews) if brews else None
    for other in ties_of(session, source.id) if source else ():
        tie(session, trial_id, other.cup, other.brew_id)
    return source is not None


def untie(session: Session, trial_id: int, brew_id: int) -> None:
    """Undo a tie; the brew itself stays."""
    this = (TrialBrew.trial_id == trial_id, TrialBrew.brew_id == brew_id)
    session.execute(delete(TrialBrew).where(*this))
