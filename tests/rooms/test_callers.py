"""Nothing in the pure rooms stands there for tests only: pages or the journal reach every name."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from tests.rooms.plan import House

CHECKOUT = Path(__file__).resolve().parents[2]
PURE = ("app.sensory", "app.brewing")


class Name(NamedTuple):
    module: str
    name: str


def test_every_public_name_of_a_pure_room_is_reached_from_outside() -> None:
    house = House.read(CHECKOUT)
    uses = {
        Name(module, name): set(_uses(module, statement, tree))
        for module, tree in house.trees.items()
        for name, statement in _defined(tree)
    }
    found = [
        name
        for module, tree in house.trees.items()
        if not _is_pure(module)
        for name in _imported(module, tree)
    ]
    reached: set[Name] = set()
    while found:
        name = found.pop()
        if name not in reached:
            reached.add(name)
            found += uses.get(name, ())
    left = {
        f"{one.module}.{one.name}"
        for one in uses
        if _is_pure(one.module) and not one.name.startswith("_") and one not in reached
    }
    assert left == set()


def _is_pure(module: str) -> bool:
    return f"{module}.".startswith(tuple(f"{room}." for room in PURE))


def _defined(tree: ast.Module) -> Iterator[tuple[str, ast.stmt]]:
    """Names at the top of a module, and the statement of each."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.name, node
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        for target in targets:
            for part in ast.walk(target) if target else ():
                if isinstance(part, ast.Name):
                    yield part.id, node


def _imported(module: str, tree: ast.Module) -> Iterator[Name]:
    """Names a module imports, and attributes of modules it imports whole."""
    whole = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                yield Name(node.module, alias.name)
                whole[alias.asname or alias.name] = f"{node.module}.{alias.name}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            yield Name(whole.get(node.value.id, module), node.attr)


def _uses(module: str, statement: ast.stmt, tree: ast.Module) -> Iterator[Name]:
    """Names of its own module, or imported by it, that a statement mentions."""
    came_from = {
        alias.asname or alias.name: Name(node.module, alias.name)
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module
        for alias in node.names
    }
    for node in ast.walk(statement):
        if isinstance(node, ast.Name):
            yield came_from.get(node.id, Name(module, node.id))
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            of = came_from.get(node.value.id)
            if of:
                yield Name(f"{of.module}.{of.name}", node.attr)
