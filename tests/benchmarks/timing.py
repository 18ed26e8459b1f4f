"""Times side by side: every job once a round, round after round, so that a busy moment of the
machine falls on all of them alike; the median of each.

Reading is timed by the processor time it takes, which other programs disturb least (a journal of
this size stays in the machine's memory); what waits for the disk, by the clock on the wall.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Mapping
from statistics import median
from time import perf_counter, process_time


def medians(
    jobs: Mapping[str, Callable[[], object]], rounds: int, *, waits: bool = False
) -> dict[str, float]:
    """Seconds of each job, `waits` for the disk or not. Three rounds go before, uncounted."""
    timer = perf_counter if waits else process_time
    took: dict[str, list[float]] = {name: [] for name in jobs}
    gc.collect()
    gc.freeze()
    for count in range(-3, rounds):
        for name, job in jobs.items():
            start = timer()
            job()
            spent = timer() - start
            if count >= 0:
                took[name].append(spent)
    gc.unfreeze()
    return {name: median(times) for name, times in took.items()}
