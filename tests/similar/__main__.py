"""How right the suggestions of alike asks are: `make similar`, with `-v` the pairs that are not."""

from __future__ import annotations

import sys

from tests.similar.measured import LISTS, groups_in, measure


def main(more: bool) -> None:
    for name in LISTS:
        found = measure(groups_in(name))
        print(
            f"{name}: {found.asks} asks in {found.groups} groups; {found.suggested} pairs "
            f"suggested, {found.right} of them right, {found.belonging} belong together: "
            f"precision {found.precision:.2f}, recall {found.recall:.2f}"
        )
        for words, pairs in (("wrong", found.wrong), ("missed", found.missed)) if more else ():
            for a, b in pairs:
                print(f"  {words}: {a} | {b}")


if __name__ == "__main__":
    main("-v" in sys.argv)
