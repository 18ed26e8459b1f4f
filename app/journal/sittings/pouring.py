"""The brews of a sitting that a blind trial was poured from, noted once its key may be seen."""

from datetime import datetime

from sqlalchemy.orm import Session

from app.journal.blind.tying import tie
from app.journal.sittings.reading import sitting_with_test
from app.journal.sittings.standing import standing
from app.models import Sitting, Trial


def note_poured(session: Session, trial_id: int, now: datetime) -> None:
    """Tie the brews of its line to a finished trial. Brews that a lot decides are tied by whoever
    made them: the sitting does not know which they were."""
    trial = session.get_one(Trial, trial_id)
    sitting_id = None if trial.warm_up else sitting_with_test(session, trial.test_id)
    if sitting_id is None:
        return
    stands = standing(session, session.get_one(Sitting, sitting_id), now)
    line = next((one for one in stands.lines if one.trial and one.trial.id == trial_id), None)
    if line is None or line.row.kind != "trial" or line.by_lot:
        return
    for brew in line.brews:
        if brew.brew_id is not None and brew.is_there:
            tie(session, trial_id, brew.letter, brew.brew_id)
