"""One line of the table, and the table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Result:
    """`ratio` is what is bounded; `told` says what stood on either side of it."""

    name: str
    bound: float
    ratio: float
    told: str

    @property
    def over(self) -> bool:
        return not self.ratio <= self.bound


def table(results: Sequence[Result]) -> str:
    wide = max(len(one.name) for one in results)
    lines = [f"{'what':{wide}}  bound  ratio        measured"]
    for one in results:
        verdict = "OVER" if one.over else "ok"
        lines.append(
            f"{one.name:{wide}} {one.bound:6.2f} {one.ratio:6.2f}  {verdict:4}  {one.told}"
        )
    return "\n".join(lines)


def ms(seconds: float) -> str:
    return f"{1000 * seconds:.2f} ms"
