"""Why a package does not come in, in words."""

from __future__ import annotations

from typing import NamedTuple

MOST_TOLD = 20


class Problem(NamedTuple):
    """A cell, or a row where `field` is empty; `line` counts from the head of its file, 1."""

    path: str
    line: int
    field: str
    says: str

    @property
    def sentence(self) -> str:
        where = f"{self.path}, line {self.line}"
        return f"{where}: {self.field} {self.says}." if self.field else f"{where} {self.says}."


class Refused(Exception):
    """The package cannot come in. Nothing was changed once the transaction is rolled back."""

    def __init__(self, why: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(why)
        self.why = why
        self.problems = problems

    def __str__(self) -> str:
        return "\n".join([self.why, *(problem.sentence for problem in self.problems)])


class Problems:
    """What was found so far; more than MOST_TOLD are not looked for."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    def add(self, problem: Problem) -> None:
        self.found.append(problem)
        if len(self.found) >= MOST_TOLD:
            self.refuse()

    def refuse(self) -> None:
        """Raises Refused if anything was found."""
        if self.found:
            count = len(self.found)
            more = f"{count} problems" if count < MOST_TOLD else f"{count} problems or more"
            why = "1 problem" if count == 1 else more
            raise Refused(f"The package has {why}, so nothing came in.", tuple(self.found))
