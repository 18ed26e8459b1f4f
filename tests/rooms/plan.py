"""Which files of app/ import which, and what follows for the rooms they stand in."""

from __future__ import annotations

import ast
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

Arrow = tuple[str, str]


@dataclass(frozen=True)
class House:
    """The parsed modules of app/ by dotted name, packages marked by the name of their folder."""

    trees: dict[str, ast.Module]
    packages: frozenset[str]
    lines: int

    @classmethod
    def read(cls, checkout: Path) -> House:
        trees, packages, lines = {}, set(), 0
        for file in sorted((checkout / "app").rglob("*.py")):
            parts = file.relative_to(checkout).with_suffix("").parts
            name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
            if parts[-1] == "__init__":
                packages.add(name)
            text = file.read_text()
            lines += len(text.splitlines())
            trees[name] = ast.parse(text)
        return cls(trees, frozenset(packages), lines)

    @cached_property
    def imports(self) -> frozenset[Arrow]:
        """Every (importer, imported), wherever in the file the import stands."""
        return frozenset(
            (name, target)
            for name, tree in self.trees.items()
            for node in ast.walk(tree)
            if isinstance(node, ast.Import | ast.ImportFrom)
            for target in self._targets(name, node)
            if target != name
        )

    def _targets(self, name: str, node: ast.Import | ast.ImportFrom) -> Iterator[str]:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in self.trees)
            return
        base = node.module or ""
        if node.level:
            up = node.level - (name in self.packages)
            base = ".".join([*name.split(".")[: -up or None], *filter(None, [node.module])])
        for alias in node.names:
            whole = f"{base}.{alias.name}"
            if whole in self.trees or base in self.trees:
                yield whole if whole in self.trees else base

    @staticmethod
    def room(name: str) -> str:
        """A folder of app/ with all in it, or a file that stands at its top.

        `__main__` is only the door that Python looks for: it belongs to the command behind it.
        """
        return "app.cli" if name == "app.__main__" else ".".join(name.split(".")[:2])

    @cached_property
    def rooms(self) -> frozenset[str]:
        return frozenset(self.room(name) for name in self.trees)

    @cached_property
    def arrows(self) -> frozenset[Arrow]:
        """Every (room, room it imports from)."""
        pairs = ((self.room(a), self.room(b)) for a, b in self.imports)
        return frozenset((a, b) for a, b in pairs if a != b)

    def circle(self) -> set[str]:
        """Rooms from which a way of imports leads back to themselves."""
        below = {room: {b for a, b in self.arrows if a == room} for room in self.rooms}
        return {room for room in self.rooms if room in self._reached(below, room)}

    @staticmethod
    def _reached(below: dict[str, set[str]], start: str) -> set[str]:
        found: set[str] = set()
        waiting = list(below[start])
        while waiting:
            room = waiting.pop()
            if room not in found:
                found.add(room)
                waiting += below[room]
        return found

    def longest_chain(self) -> tuple[str, ...]:
        """The most rooms that stand on each other, none of them twice."""
        below = {room: sorted(b for a, b in self.arrows if a == room) for room in self.rooms}
        circle = self.circle()

        @cache
        def chain(room: str, above: frozenset[str]) -> tuple[str, ...]:
            # Only a room in a circle can be met a second time.
            above |= {room} & circle
            lower = (chain(b, above) for b in below[room] if b not in above)
            return room, *max(lower, key=len, default=())

        return max((chain(room, frozenset()) for room in sorted(self.rooms)), key=len)

    def between(self, pages: Collection[str]) -> set[tuple[str, str, Arrow]]:
        """(page, page it imports, the import): pages are folders of app/."""
        found = set()
        for importer, imported in self.imports:
            a, b = (name.split(".")[1:2] for name in (importer, imported))
            if a and b and a != b and a[0] in pages and b[0] in pages:
                found.add((a[0], b[0], (importer, imported)))
        return found

    @cached_property
    def any_signatures(self) -> list[str]:
        """Functions with `Any` in the annotation of a parameter or of what they return."""
        return [
            f"{name}.{node.name}"
            for name, tree in self.trees.items()
            for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef) and any(map(_says_any, _annotations(node)))
        ]


def _annotations(node: ast.FunctionDef) -> list[ast.expr]:
    given = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    given += [arg for arg in (node.args.vararg, node.args.kwarg) if arg]
    noted = [arg.annotation for arg in given] + [node.returns]
    return [annotation for annotation in noted if annotation is not None]


def _says_any(annotation: ast.expr) -> bool:
    return any(isinstance(part, ast.Name) and part.id == "Any" for part in ast.walk(annotation))
