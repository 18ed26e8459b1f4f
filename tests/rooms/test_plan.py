"""The house keeps its plan: what import-linter holds, and what its figures may come to."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from tests.rooms.__main__ import PAGES
from tests.rooms.plan import House

CHECKOUT = Path(__file__).resolve().parents[2]
# cli, serving, the app, a page, web, journal, models or formats, brewing.
MOST_FLOORS = 8
MOST_ANY_SIGNATURES = 10
TOP = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "app", "migrations", "tests", "static",
    "seed_demo", "Makefile", "LICENSE", "constraints.txt",
}  # fmt: skip


@pytest.fixture(scope="module")
def house() -> House:
    return House.read(CHECKOUT)


def test_pages_know_nothing_of_each_other(house: House) -> None:
    assert not house.between(PAGES)
    assert {page for page in PAGES if f"app.{page}.views" not in house.trees} == set()


def test_no_import_leads_back(house: House) -> None:
    assert house.circle() == set()
    assert len(house.longest_chain()) <= MOST_FLOORS


def test_signatures_say_what_they_take_and_return(house: House) -> None:
    assert len(house.any_signatures) <= MOST_ANY_SIGNATURES


def test_a_signature_with_any_is_found(tmp_path: Path) -> None:
    (tmp_path / "app").mkdir()
    (tmp_path / "app" / "__init__.py").write_text(
        "def f(row: Any) -> int: ...\ndef g(*, rows: list[Any]) -> int: ...\ndef h() -> int: ..."
    )
    assert House.read(tmp_path).any_signatures == ["app.f", "app.g"]


def test_a_circle_and_a_page_that_knows_another_are_found(tmp_path: Path) -> None:
    """The plan is read from the files, so a wrong one is seen."""
    for room, text in {"bags": "from app.brews import b", "brews": "from ..bags import a"}.items():
        folder = tmp_path / "app" / room
        folder.mkdir(parents=True)
        (folder / "__init__.py").touch()
        (folder / f"{room[0]}.py").write_text(text)
        (folder / "a.py").touch()
    (tmp_path / "app" / "__init__.py").touch()
    house = House.read(tmp_path)
    assert house.circle() == {"app.bags", "app.brews"}
    assert {(a, b) for a, b, _ in house.between(PAGES)} == {("bags", "brews"), ("brews", "bags")}


@pytest.mark.skipif(not (CHECKOUT / ".git").exists(), reason="not a git checkout")
def test_nothing_else_is_kept_at_the_top() -> None:
    listed = subprocess.run(
        ["git", "ls-files"], cwd=CHECKOUT, capture_output=True, text=True, check=True
    )
    top = {line.split("/")[0] for line in listed.stdout.splitlines()}
    assert {name for name in top if not name.startswith(".")} == TOP
