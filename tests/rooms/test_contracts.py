"""The contracts of pyproject.toml hold, and what they cannot list is read from the files."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.rooms.plan import House

CHECKOUT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def house() -> House:
    return House.read(CHECKOUT)


def outside(house: House, room: str) -> set[str]:
    """Packages from outside app/ that the files of a room import, by their first name."""
    return {
        name.split(".")[0]
        for module, tree in house.trees.items()
        if module.startswith(f"app.{room}.")
        for name in _imported(tree)
        if not name.startswith("app.")
    }


def _imported(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield node.module or ""


def ours(house: House, room: str) -> set[str]:
    """What the files of a room import from other rooms of app/."""
    inside = f"app.{room}."
    return {b for a, b in house.imports if a.startswith(inside) and not f"{b}.".startswith(inside)}


def test_the_contracts_hold() -> None:
    command = [Path(sys.executable).with_name("lint-imports"), "--no-cache"]
    done = subprocess.run(command, cwd=CHECKOUT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_no_contract_has_exceptions() -> None:
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())
    for contract in project["tool"]["importlinter"]["contracts"]:
        assert not [key for key in contract if key.startswith(("ignore", "allow_indirect"))]


@pytest.mark.parametrize("room", ["brewing", "sensory"])
def test_pure_rooms_import_numpy_scipy_and_the_standard_library_only(
    house: House, room: str
) -> None:
    assert outside(house, room) <= {"numpy", "scipy"} | sys.stdlib_module_names
    assert ours(house, room) == set()


def test_only_one_file_imports_numpy_or_scipy(house: House) -> None:
    heavy = {
        module
        for module, tree in house.trees.items()
        if {name.split(".")[0] for name in _imported(tree)} & {"numpy", "scipy"}
    }
    assert heavy == {"app.sensory.lazy"}


def test_charts_import_nothing_of_ours(house: House) -> None:
    assert ours(house, "charts") == set()


def test_tables_know_bounds_and_words_only(house: House) -> None:
    assert ours(house, "models") == {"app.brewing.bounds", "app.sensory.terms"}


def test_what_a_pure_room_must_not_import_is_found(tmp_path: Path) -> None:
    folder = tmp_path / "app" / "brewing"
    folder.mkdir(parents=True)
    for package in (folder.parent, folder):
        (package / "__init__.py").touch()
    (folder.parent / "money.py").touch()
    (folder / "ratio.py").write_text("import flask.json\nfrom app.money import price\n")
    house = House.read(tmp_path)
    assert outside(house, "brewing") == {"flask"}
    assert ours(house, "brewing") == {"app.money"}
