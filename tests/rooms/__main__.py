"""The plan of the house in figures: `python -m tests.rooms [CHECKOUT]`.

A room is a folder of app/ with all in it, or a file that stands at its top. The floors are the
most rooms that stand on each other, one importing the next, none of them twice.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.rooms.plan import House

PAGES = (
    "along", "api", "bags", "blind", "brews", "changes", "claimed", "devices", "experiments",
    "filters", "gear", "groups", "lookback", "names", "questions", "ranking", "readers",
    "recipes", "settings", "side_by_side", "sheets", "sittings", "taking_out", "tasters",
    "tastings", "today", "worksheets",
)  # fmt: skip


def main(checkout: Path) -> None:
    house = House.read(checkout)
    between = house.between(PAGES)
    rows = (
        ("lines in app/ (Python)", house.lines),
        ("rooms", len(house.rooms)),
        ("arrows between rooms", len(house.arrows)),
        ("floors (longest chain of rooms)", len(house.longest_chain())),
        ("rooms in a circle of rooms", len(house.circle())),
        ("pairs of pages, one importing the other", len({(a, b) for a, b, _ in between})),
        ("imports from page to page", len(between)),
        ("function signatures that mention Any", len(house.any_signatures)),
    )
    for words, figure in rows:
        print(f"{words:<42} {figure:>7,}")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "."))
