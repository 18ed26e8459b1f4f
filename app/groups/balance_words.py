"""What else differs between two groups, as a table: in the household's units and words."""

from collections.abc import Callable
from datetime import date
from typing import NamedTuple

from app.brewing.bounds import GRINDS
from app.formats import Formats, joined
from app.journal.groups.compared import Stratum
from app.journal.groups.things import OWN_LABELS
from app.journal.pairs.setup import LABELS
from app.sensory.scores.balance import Beside

HEAD = ("What", "A", "B", "So")
Write = Callable[[float], str]


class Balance(NamedTuple):
    """Rows of what differs, and names of what does not."""

    rows: list[list[str | None]]
    alike: list[str]


def balance(one: Stratum, formats: Formats) -> Balance:
    """What differs first what could explain the difference."""
    write = _writers(formats)
    differing = [row for row in one.balance if row.verdict in ("differs", "could explain")]
    differing.sort(key=lambda row: row.verdict != "could explain")
    rows = [_row(row, write.get(row.name, _plain(formats)), formats) for row in differing]
    if one.scored == "could explain":
        rows.insert(0, ["Share of the brews that was scored", None, None, "could explain it"])
    return Balance(rows, [row.name for row in one.balance if row.verdict == "alike"])


def _row(row: Beside, write: Write, formats: Formats) -> list[str | None]:
    name = row.name[:1].upper() + row.name[1:]
    if row.a is None or row.b is None:
        apart = f"{round(100 * (row.share or 0.0))} of 100 cups of another kind"
        return [name, None, apart, _so(row, formats)]
    return [name, write(row.a), write(row.b), _so(row, formats)]


def _so(row: Beside, formats: Formats) -> str:
    if row.verdict == "could explain":
        return "could explain it"
    if row.low is None or row.high is None:
        return "differs"
    low, high = (formats.fixed(end, 1) for end in (row.low, row.high))
    return f"differs; with it taken out A less B is {low} to {high}"


def _writers(formats: Formats) -> dict[str, Write]:
    """How the mean of each number is written, by its label."""
    grams = {"dose_g": 1, "bypass_g": 0, "ice_g": 0}
    written: dict[str, Write] = {
        LABELS[name]: lambda value, digits=digits: formats.amount(value, "g", digits)  # type: ignore[misc]
        for name, digits in grams.items()
    }
    return written | {
        LABELS["water_temp_c"]: lambda value: formats.amount(value, "°C", 0),
        LABELS["steep_s"]: formats.clock,
        LABELS["press_s"]: formats.clock,
        LABELS["age_days"]: lambda value: joined(f"{formats.number(value, 0)} days"),
        LABELS["grind"]: lambda value: f"about {GRINDS[round(value)]}",
        OWN_LABELS["ratio"]: lambda value: joined(f"1 : {formats.fixed(value, 1)}"),
        OWN_LABELS["hour"]: lambda value: f"{int(value)}:{int(value % 1 * 60):02d}",
        OWN_LABELS["weekend"]: lambda value: f"{round(100 * value)} of 100",
        OWN_LABELS["when"]: lambda value: f"about {formats.day(date.fromordinal(round(value)))}",
    }


def _plain(formats: Formats) -> Write:
    return lambda value: formats.number(value, 1)
