"""What backups are called, and which of them are in a folder."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

DAILY = "daily"
BY_HAND = "backup"
BEFORE_RESTORE = "before-restore"
DOUBTFUL = "doubtful"
KEPT = "kept"  # of a journal that was moved away while it was open
PARTIAL = ".partial"
STAMP = "%Y%m%d-%H%M%S-%f"
NAME = re.compile(
    r"(?P<label>daily|backup|doubtful|kept|before-\w+)-(?:(?P<owner>.+)-)?"
    r"(?P<stamp>\d{8}-\d{6}-\d{6})\.db",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Backup:
    """A file in a folder of backups; `own` where this journal made it."""

    path: Path
    label: str
    made_at: datetime
    own: bool

    @property
    def name(self) -> str:
        return self.path.name


def new_name(label: str, owner: str, now: datetime | None = None) -> str:
    """`owner` is the journal's name and its number, so that two journals can share a folder."""
    stamp = (now or datetime.now(UTC)).astimezone(UTC).strftime(STAMP)
    return f"{label}-{owner}-{stamp}.db"


def read_name(path: Path, owner: str) -> Backup | None:
    """None for a file that is no backup. Earlier versions named no owner."""
    match = NAME.fullmatch(path.name)
    if match is None:
        return None
    try:
        made_at = datetime.strptime(match["stamp"], STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None
    label = match["label"]
    return Backup(path, label, made_at, match["owner"] == owner)


def backups_in(folder: Path, owner: str) -> list[Backup]:
    """The newest first; none where the folder cannot be read."""
    try:
        paths = list(folder.iterdir())
    except OSError:
        return []
    found = [backup for path in paths if (backup := read_name(path, owner))]
    return sorted(found, key=lambda backup: backup.made_at, reverse=True)
