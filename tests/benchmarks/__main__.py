"""`python -m tests.benchmarks`: what the journal costs, as ratios within this one run.

The first time, journals of 100,000 and 1,000 brews are generated; see generate.py. Names of parts
(least, growth, saving, start, bytes, solving, charts, exchange) run only those. Exits 1 if a bound
is broken.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from functools import partial
from time import perf_counter

from tests.benchmarks.charts import charts, missing
from tests.benchmarks.exchange import exchange
from tests.benchmarks.generate import FEW, MANY, ensure
from tests.benchmarks.pages import against_the_least, against_the_smaller
from tests.benchmarks.result import Result, table
from tests.benchmarks.saving import saving
from tests.benchmarks.sharing import sharing
from tests.benchmarks.site import Site
from tests.benchmarks.solving import solving
from tests.benchmarks.startup import startup
from tests.benchmarks.weight import heaviest


def main(wanted: list[str]) -> int:
    start = perf_counter()
    large, small = ensure(MANY), ensure(FEW)
    many, few = Site(large), Site(small)
    parts: dict[str, Callable[[], Iterator[Result]]] = {
        "least": partial(against_the_least, many, large),
        "growth": partial(against_the_smaller, many, few),
        "saving": lambda: iter([saving(large)]),
        "start": lambda: iter([startup(large)]),
        "bytes": partial(heaviest, many),
        "solving": lambda: iter([solving(), sharing()]),
        "charts": charts,
        "exchange": partial(exchange, large),
    }
    why = missing()
    chosen = [name for name in wanted or parts if not (why and name == "charts")]
    results = [one for name in chosen for one in parts[name]()]
    if results:
        print(table(results))
    if why:
        print(f"\nNot measured, as {why}: first charts and live charts")
    if left_out := many.without_rows():
        print(f"\nNot measured, the generated journal holds none: {', '.join(left_out)}")
    many.close()
    few.close()
    over = [one.name for one in results if one.over]
    print(f"\n{len(results)} measured, {len(over)} over, {perf_counter() - start:.0f} s")
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
