"""The wheel works in an empty environment far from the checkout; `make test-wheel` tells how.

It is built and installed with pip, which asks the package index for what the wheel needs.
"""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path

import pytest

from app.web.lean import LEAN
from tests.support.server import let_ctrl_c_through

ROOT = Path(__file__).parent.parent.parent
PIP = (sys.executable, "-m", "pip", "--disable-pip-version-check", "-q")
FOLDERS = {"app", "migrations", "seed_demo", "static"}


@dataclass(frozen=True)
class Installed:
    """An environment with Oddcup in it, and an empty home; commands run in that home."""

    environment: Path
    home: Path

    @property
    def packages(self) -> Path:
        return next(self.environment.glob("lib/python*/site-packages"))

    def start(self, program: str, *words: object) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [str(self.environment / "bin" / program), *map(str, words)],
            cwd=self.home,
            env={"HOME": str(self.home)},
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def run(self, program: str, *words: object) -> tuple[int, str, str]:
        """The exit code, what was written, and what was written about errors."""
        with self.start(program, *words) as process:
            written, errors = process.communicate(timeout=60)
            return process.returncode, written.strip(), errors.strip()

    @contextmanager
    def serving(self, command: str) -> Iterator[str]:
        """The host and port at which a command serves, until Ctrl+C closes it in silence."""
        let_ctrl_c_through()
        with self.start("oddcup", command) as process:
            try:
                assert process.stdout
                said = process.stdout.readline()
                opened = re.fullmatch(r"Oddcup is open at http://(\S+)/\n", said)
                assert opened, said + process.communicate(timeout=60)[1]
                yield opened[1]
                process.send_signal(signal.SIGINT)
                errors = process.communicate(timeout=60)[1]
                assert (process.returncode, errors) == (0, "")
            finally:
                process.kill()


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Installed]:
    far = tmp_path_factory.mktemp("far")
    made = Installed(far / "environment", far / "home")
    made.home.mkdir()
    _run(*PIP, "wheel", "--no-deps", "--wheel-dir", far, ROOT)
    (wheel,) = far.glob("oddcup-*.whl")
    _run(sys.executable, "-m", "venv", "--without-pip", made.environment)
    assert not list(made.packages.iterdir())
    python = made.environment / "bin" / "python"
    _run(*PIP, "--python", python, "install", "-c", ROOT / "constraints.txt", wheel)
    print(f"\n{wheel.name} ({wheel.stat().st_size:,} bytes) is installed in {made.environment}")
    before = _contents(made.packages)
    yield made
    assert _contents(made.packages) == before, "Oddcup wrote into its own installation."
    print("Nothing was written into site-packages while it ran.")


def _run(*words: object) -> None:
    done = subprocess.run(
        [str(word) for word in words], cwd="/", capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def _contents(folder: Path) -> dict[Path, int]:
    return {path: path.stat().st_mtime_ns for path in folder.rglob("*")}


def _get(host: str, path: str) -> bytes:
    connection = HTTPConnection(host, timeout=60)
    try:
        connection.request("GET", path)
        answer = connection.getresponse()
        assert answer.status == 200, f"{path} answered {answer.status}"
        return answer.read()
    finally:
        connection.close()


def test_it_takes_one_name_in_site_packages(installed: Installed) -> None:
    there = {path.name for path in installed.packages.iterdir()}
    ours = {name for name in there if "oddcup" in name}
    assert len(ours) == 2
    assert "oddcup" in ours, "and beside it only what pip notes down about it"
    inside = {path.name for path in (installed.packages / "oddcup").iterdir()}
    assert inside - {"__pycache__"} == FOLDERS | {"__main__.py"}
    for name in sorted(FOLDERS):
        assert not any(other.split(".")[0] == name for other in there)
        code, _, errors = installed.run("python", "-c", f"import {name}")
        assert code == 1
        assert f"ModuleNotFoundError: No module named '{name}'" in errors
        print(f"import {name}: {errors.splitlines()[-1]}")


def _as_served(file: Path) -> bytes:
    """A sheet or script goes out without its comments (app/web/lean.py)."""
    lean = LEAN.get(file.suffix)
    return lean[0](file.read_text(encoding="utf-8")).encode() if lean else file.read_bytes()


def test_serve_gives_the_first_page_with_its_style_and_scripts(installed: Installed) -> None:
    with installed.serving("serve") as host:
        page = _get(host, "/").decode()
        print(f"oddcup serve: the first page, {len(page):,} bytes, and as in the checkout:")
        assets = re.findall(r'(?:href|src)="(/static/[^"?]+)', page)
        assert {Path(name).suffix for name in assets} >= {".css", ".js", ".svg"}
        for name in assets:
            content = _get(host, name)
            assert content == _as_served(ROOT / name[1:])
            print(f"  {name}, {len(content):,} bytes")
    assert (installed.home / ".local/share/oddcup/journal.db").exists()


def test_backup_copies_the_open_journal(installed: Installed) -> None:
    with installed.serving("serve"):
        code, kept, errors = installed.run("oddcup", "backup")
    assert (code, errors) == (0, "")
    assert Path(kept).is_relative_to(installed.home)
    code, said, errors = installed.run("oddcup", "--journal", kept, "check")
    assert (code, errors) == (0, "")
    assert said.splitlines()[-1] == f"{kept} is sound, as far as these checks go."
    print(f"oddcup backup: {kept} is sound.")


def test_the_demo_opens_and_its_charts_have_their_script(installed: Installed) -> None:
    with installed.serving("demo") as host:
        page = _get(host, "/").decode()
        assert "Demo household" in page
        print(f"oddcup demo: the first page, {len(page):,} bytes")
        learned = _get(host, "/worksheets/learned").decode()
        script = re.search(r'data-plotly="(/vendor/[^"]+)"', learned)
        assert script
        content = _get(host, script[1])
        assert b"plotly.js" in content[:200]
        print(f"  {script[1]}, {len(content):,} bytes")


def test_python_starts_it_by_name_too(installed: Installed) -> None:
    told = installed.run("python", "-m", "oddcup", "--help")
    assert told == installed.run("oddcup", "--help")
    code, written, errors = told
    assert (code, errors) == (0, "")
    assert written.startswith("Usage: oddcup ")
    print(written)
