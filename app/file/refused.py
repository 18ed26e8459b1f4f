"""Why the journal takes no writing now; `app/trouble.py` has the sentences."""

from pathlib import Path

BUSY_S = 5.0  # how long a writer waits at most, its turn and the lock together


class JournalRefused(RuntimeError):
    """The journal takes no writing now."""


class JournalBusy(JournalRefused):
    """Nobody got to write for as long as a writer waits."""


class JournalDamaged(JournalRefused):
    """The journal is damaged, so it is only read."""


class JournalMoved(JournalRefused):
    """The journal is no longer the file that was opened. `kept`: a copy of what that one held."""

    def __init__(self, path: Path, kept: Path | None) -> None:
        self.kept = kept
        copy = f" All that was saved before is kept in {kept}." if kept else ""
        super().__init__(
            f"The journal {path} was moved, deleted or replaced while it was open, so nothing more "
            f"is saved into it.{copy} Put it back, or close Oddcup and start it on what is there."
        )
