"""Opening the journal loads only what the first page needs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from jinja2 import FileSystemBytecodeCache

from app import create_app
from app.config import Config
from app.schema import bring_up_to_date

ROOT = Path(__file__).parent.parent.parent
HEAVY = ("numpy", "scipy", "plotly", "alembic", "PIL", "resvg_py", "seed_demo")

OPEN = """
import sys
from pathlib import Path
from app import create_app
from app.config import Config
from app.schema import bring_up_to_date

config = Config(url=sys.argv[1], home=Path(sys.argv[2]), secret_key="for tests only")
bring_up_to_date(config)
client = create_app(config).test_client()
for path in sys.argv[4:]:
    assert client.get(path).status_code == 200, path
print([name for name in sys.argv[3].split(",") if name in sys.modules])
"""


@pytest.mark.parametrize("paths", [[], ["/", "/brews/", "/brews/new"]], ids=["start", "pages"])
def test_opening_an_up_to_date_journal_imports_nothing_heavy(
    sqlite_config: Config, paths: list[str]
) -> None:
    words = [sqlite_config.url, str(sqlite_config.home), ",".join(HEAVY), *paths]
    done = subprocess.run(
        [sys.executable, "-c", OPEN, *words], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"


def test_pages_compiled_by_an_older_oddcup_are_not_used(sqlite_config: Config) -> None:
    bring_up_to_date(sqlite_config)
    older = create_app(sqlite_config)
    older.jinja_env.bytecode_cache = FileSystemBytecodeCache(str(sqlite_config.home / "pages"))
    older.jinja_env.filters |= {name: lambda *_: "an older way" for name in ("amount", "unit")}
    address = "/worksheets/ice"
    assert "an older way" in older.test_client().get(address).text
    answer = create_app(sqlite_config).test_client().get(address)
    assert answer.status_code == 200
    assert "an older way" not in answer.text
