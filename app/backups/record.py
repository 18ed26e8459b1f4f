"""What is noted about the backups of a journal, in a small file in the folder beside it.

It is no part of the journal, so that restoring an older state changes nothing of it. Reading it
touches neither the folder of the backups nor the journal: a page may do so at any time.
"""

import json
import os
import secrets
from dataclasses import asdict, dataclass, fields, replace
from datetime import UTC, datetime
from pathlib import Path
from threading import Lock

from app.file.opened import sync_folder

_changing = Lock()


@dataclass(frozen=True, slots=True)
class Record:
    """`number` tells this journal's backups from those of others in the same folder.

    `folder` is the one chosen, empty for the usual one. Of the newest backup that passed its
    checks: its file and when it was made. `failure` says why the last attempt did not end so,
    `away` why the chosen folder could not be used. Moments are in ISO 8601, UTC.
    """

    number: str = ""
    since: str = ""
    folder: str = ""
    newest: str = ""
    newest_at: str = ""
    failure: str = ""
    failed_at: str = ""
    away: str = ""


def record_of(journal: Path) -> Record:
    """An empty record where there is none yet, or none that can be read."""
    try:
        read = json.loads(_file(journal).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Record()
    names = {field.name for field in fields(Record)}
    given = read.items() if isinstance(read, dict) else ()
    return Record(**{name: str(value) for name, value in given if name in names})


def note(journal: Path, **changes: str) -> Record:
    """Change what is noted; the file is replaced as a whole. Raises OSError."""
    with _changing:
        record = replace(record_of(journal), **changes)
        if not record.number:
            since = record.since or stamp()
            record = replace(record, number=secrets.token_hex(3), since=since)
        _file(journal).parent.mkdir(mode=0o700, exist_ok=True)
        partial = _file(journal).with_name(f"{_file(journal).name}.{os.getpid()}.partial")
        with partial.open("w", encoding="utf-8") as file:
            json.dump(asdict(record), file, indent=1)
            file.flush()
            os.fsync(file.fileno())
        partial.replace(_file(journal))
        sync_folder(partial.parent)
        return record


def owner_of(journal: Path) -> str:
    """What this journal's backups carry in their names."""
    record = record_of(journal)
    if not record.number:
        record = note(journal)
    return f"{journal.stem}-{record.number}"


def stamp(moment: datetime | None = None) -> str:
    return (moment or datetime.now(UTC)).astimezone(UTC).isoformat(timespec="seconds")


def moment(text: str) -> datetime | None:
    try:
        read = datetime.fromisoformat(text)
    except ValueError:
        return None
    return read if read.tzinfo else None


def _file(journal: Path) -> Path:
    return journal.parent / "backups" / f"{journal.name}.json"
