"""Which revisions of the tables this Oddcup knows."""

import re
from pathlib import Path

NO_REVISION = "It does not say which Oddcup wrote it."
NEWER = "It was written by a newer Oddcup"
MIGRATIONS = Path(__file__).resolve().parent.parent / "migrations"


def revisions() -> list[str]:
    """Every revision from the first to the newest: files are named NNNN_slug.py."""
    names = (path.name for path in (MIGRATIONS / "versions").glob("[0-9]*.py"))
    return sorted(match[1] for name in names if (match := re.match(r"(\d{4})_", name)))


def head() -> str:
    return revisions()[-1]
