"""The trials of a test set beside those of A against A."""

from collections.abc import Sequence

from app.journal.blind.keys import is_right
from app.journal.blind.plan import has_controls
from app.journal.blind.sealed import FinishedTrial
from app.models import BlindTest
from app.sensory.blind.control import Compared


def compared(
    test: BlindTest, counted: Sequence[FinishedTrial], last: int | None, *, decides: bool
) -> Compared:
    """The trials up to the last that counts beside those of A against A: as many of these as were
    fixed beforehand, or in an older plan those that came before that last one."""
    if not test.controls and last:
        at = [place for place, trial in enumerate(counted, 1) if not trial.is_control]
        counted = counted[: at[last - 1]] if len(at) >= last else counted
    real, controls = (
        [is_right(test.method, test.more, trial) for trial in counted if trial.is_control == kind]
        for kind in (False, True)
    )
    real, controls = real[:last], controls[: test.controls or None]
    planned = (test.fixed_trials, test.controls if has_controls(test) else None)
    return Compared(sum(real), len(real), sum(controls), len(controls), planned, decides)
