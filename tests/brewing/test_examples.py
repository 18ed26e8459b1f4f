"""The examples in the docstrings of the pure rooms give what they say."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FILES = [path for room in ("brewing", "sensory") for path in (ROOT / "app" / room).rglob("*.py")]
SHOWN = [path.relative_to(ROOT) for path in FILES if ">>>" in path.read_text()]


@pytest.mark.parametrize("path", SHOWN, ids=str)
def test_examples_run_as_written(path: Path) -> None:
    module = import_module(".".join(path.with_suffix("").parts))
    result = doctest.testmod(module)
    assert result.attempted
    assert not result.failed
