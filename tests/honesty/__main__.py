"""`make honesty`: what the tool claims, held against truths planted by us.

Exact sums where there are any, else simulations with fixed seeds. Ends with 1 when a figure is
over its bound.
"""

from __future__ import annotations

import sys
from concurrent.futures import Future, ProcessPoolExecutor
from importlib import import_module
from time import monotonic

from tests.honesty.table import Figure

# Each has checks(), which gives the rows; the slowest stand first.
SUBJECTS = (
    "families",
    "journals",
    "trend",
    "groups",
    "changes",
    "experiment",
    "ranking",
    "coverage",
    "agreement",
    "side_by_side",
    "learned",
    "new_methods",
    "abandoned",
    "designs",
    "rules",
)
WORKERS = 2


def measured(subject: str) -> tuple[list[Figure], float]:
    """The rows of one subject, and the seconds they took."""
    began = monotonic()
    rows: list[Figure] = list(import_module(f"tests.honesty.{subject}").checks())
    return rows, monotonic() - began


def printed(subject: str, found: Future[tuple[list[Figure], float]]) -> bool:
    """Print the rows of a subject; whether all hold."""
    rows, took_s = found.result()
    print(f"\n{subject} ({took_s:.0f} s)")
    for row in rows:
        print(f"  {row.what:<84} {row.bound:>12} {row.found:>12}  {'' if row.holds else 'OVER'}")
    return all(row.holds for row in rows)


def main() -> int:
    with ProcessPoolExecutor(WORKERS) as pool:
        found = {subject: pool.submit(measured, subject) for subject in SUBJECTS}
        held = [printed(subject, rows) for subject, rows in found.items()]
    print("\nAll bounds hold." if all(held) else "\nA bound is broken.")
    return 0 if all(held) else 1


if __name__ == "__main__":
    sys.exit(main())
