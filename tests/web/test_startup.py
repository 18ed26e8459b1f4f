"""Opening the journal loads only what the first page needs."""

from __future__ import annotations

import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest
from jinja2 import FileSystemBytecodeCache

from app import create_app
from app.config import Config
from app.schema import bring_up_to_date

ROOT = Path(__file__).parent.parent.parent
HEAVY = (
    "numpy", "scipy", "plotly", "alembic", "PIL", "resvg_py", "seed_demo", "rapidfuzz",
)  # fmt: skip
# Rooms and parts of them that only their own pages or commands need.
LATER = (
    "app.bags.review", "app.brewing.sitting.planning", "app.charts.still.draw",
    "app.claimed.words", "app.exchange.command", "app.experiments.show_page",
    "app.filters.review", "app.journal.ranking.orders", "app.moving.copying",
    "app.questions.export", "app.readers.answers", "app.readers.bags", "app.readers.pairs",
    "app.tasters.words", "app.worksheets.sheets.ice", "app.worksheets.sheets.paper",
)  # fmt: skip

OPEN = """
import sys
from pathlib import Path
import app.cli  # as `oddcup serve` does
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


@pytest.mark.parametrize(
    ("paths", "names"),
    [([], HEAVY), (["/", "/brews/", "/brews/new"], HEAVY), (["/"], LATER)],
    ids=["start", "pages", "rooms"],
)
def test_opening_an_up_to_date_journal_imports_nothing_heavy(
    sqlite_config: Config, paths: list[str], names: tuple[str, ...]
) -> None:
    assert _loaded(sqlite_config, names, paths) == "[]"


def test_what_is_said_not_to_be_loaded_is_there_and_would_be_seen(sqlite_config: Config) -> None:
    missing = [name for name in (*HEAVY, *LATER) if find_spec(name) is None]
    assert missing == []
    needed = "app.worksheets.sheets.ice"
    assert _loaded(sqlite_config, (needed,), ["/worksheets/ice"]) == f"['{needed}']"


def _loaded(config: Config, names: tuple[str, ...], paths: list[str]) -> str:
    """Those of `names` that a process of its own has imported once it has answered `paths`."""
    words = [config.url, str(config.home), ",".join(names), *paths]
    done = subprocess.run(
        [sys.executable, "-c", OPEN, *words], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


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
