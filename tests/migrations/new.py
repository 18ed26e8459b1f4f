"""Draft the next migration from what the models changed: `make migration NAME="..."`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from alembic import command

from app.revisions import head
from app.schema import alembic_config, upgrade


def draft(name: str) -> None:
    number = f"{int(head()) + 1:04d}"
    with tempfile.TemporaryDirectory() as folder:
        url = f"sqlite:///{Path(folder) / 'journal.db'}"
        upgrade(url)
        settings = alembic_config(url)
        settings.set_main_option("file_template", "%%(rev)s_%%(slug)s")
        command.revision(settings, name, autogenerate=True, rev_id=number)


if __name__ == "__main__":
    if len(sys.argv) != 2 or not sys.argv[1].strip():
        sys.exit('Say what it brings: make migration NAME="how values are written"')
    draft(sys.argv[1].strip())
