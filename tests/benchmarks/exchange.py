"""What the whole journal costs as a data package: time and peak memory, out, in and out again."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from time import perf_counter

from app.config import Config
from app.exchange.command import come_in, export
from app.schema import upgrade
from tests.benchmarks.result import Result

MOST_MB = 400.0


def exchange(large: Path) -> Iterator[Result]:
    """Each step in a process of its own, so that its memory is its own."""
    with tempfile.TemporaryDirectory() as folder:
        first, second = Path(folder) / "first.zip", Path(folder) / "second.zip"
        empty = Path(folder) / "journal.db"
        upgrade(f"sqlite:///{empty}")
        for name, words in (
            ("export", (str(large), "out", str(first))),
            ("import", (str(empty), "in", str(first))),
            ("export again", (str(empty), "out", str(second))),
            ("import again", (str(empty), "in", str(first))),
        ):
            yield _step(name, words)
        same = _digest(first) == _digest(second)
        told = f"{first.stat().st_size / 1e6:.1f} MB, {'the same' if same else 'another'} again"
        yield Result("bytes of a package that come back otherwise", 0.0, float(not same), told)


def _step(name: str, words: tuple[str, ...]) -> Result:
    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.exchange", *words],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    seconds, memory = map(float, done.stdout.split())
    told = f"{seconds:.1f} s, {memory:.0f} MB at most"
    return Result(f"{name}: peak memory in MB", MOST_MB, memory, told)


def _digest(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def _run(journal: str, what: str, package: str) -> None:
    config = Config(f"sqlite:///{journal}", Path(journal).parent, "")
    now = datetime(2026, 11, 27, tzinfo=UTC)
    start = perf_counter()
    if what == "out":
        export(config, Path(package), now)
    else:
        come_in(config, Path(package), None, now, only_try=False)
    # Not getrusage: that begins with what the process was that started this one.
    peak = re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
    print(perf_counter() - start, int(peak[1]) / 1024 if peak else 0.0)


if __name__ == "__main__":
    _run(*sys.argv[1:])
