"""What was noted of each cup besides how it was liked, for the balance of two groups."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from app.brewing.bounds import GRINDS
from app.brewing.tolerances import TOLERANCES
from app.journal.groups.cups import CupRow, Stack
from app.journal.groups.wanted import Wanted, setting_number
from app.journal.pairs.fairness import SAME_PROPORTION
from app.journal.pairs.setup import LABELS
from app.journal.rest import Span, rest_on
from app.sensory.scores.balance import Thing, Value

# What else a choice decides: it is part of what is compared, and not named beside it.
DECIDES: dict[str, tuple[str, ...]] = {
    "bag": ("bag_id",),
    "recipe": (
        "recipe", "dose_g", "ratio", "bypass_g", "ice_g", "water_temp_c", "steep_s", "press_s",
        "stirs", "grind", "first_brewer_id", "stack",
    ),
    "brewer": ("first_brewer_id", "stack", "press_s"),
    "grinder": ("grinder_id", "grind", "grind_setting"),
    "water": ("water_id",),
    "pack": ("stack", "use"),
    "material": ("stack", "use"),
    "stack": ("stack",),
    "use_from": ("use",),
    "use_to": ("use",),
    "grind": ("grind", "grind_setting"),
    "setting_from": ("grind", "grind_setting"),
    "setting_to": ("grind", "grind_setting"),
    "days": ("weekend",),
    "since": ("when",),
    "until": ("when",),
}  # fmt: skip
OWN_LABELS = {
    "recipe": "recipe",
    "ratio": "ratio",
    "when": "how early or late in the journal",
    "weekend": "weekends",
    "hour": "time of day",
    "before": "cups before it that day",
}
# Beyond these, two groups are not called alike: days, hours, cups.
OWN_TOLERANCES = {
    "when": 14.0,
    "weekend": 0.1,
    "hour": 0.5,
    "before": 0.2,
    "use": 0.2,
    "stirs": 0.5,
    "grind": 0.2,
}


@dataclass(frozen=True, slots=True)
class Noting:
    """The two groups, and what is needed of their brews besides the rows."""

    a: Wanted
    b: Wanted
    stacks: Mapping[int, Stack]
    frozen: Mapping[int, Sequence[Span]]

    @property
    def one_taster(self) -> bool:
        return not (self.a.taster and self.b.taster and self.a.taster != self.b.taster)

    def decided(self) -> set[str]:
        """Names of what the groups are told apart by."""
        apart = [name for name in DECIDES if getattr(self.a, name) != getattr(self.b, name)]
        return {one for name in apart for one in DECIDES[name]}


def things(rows: Sequence[CupRow], noting: Noting) -> Iterator[Thing]:
    """All that was noted of the cups and is not what the groups are told apart by."""
    decided = noting.decided()
    median_ratio = sorted(row.water_g / row.dose_g for row in rows)[len(rows) // 2]
    tolerances = TOLERANCES | OWN_TOLERANCES | {"ratio": SAME_PROPORTION * median_ratio}
    for name, value_of in _readers(rows, noting).items():
        if name in decided:
            continue
        label = OWN_LABELS.get(name) or LABELS[name]
        yield Thing(label, [value_of(row) for row in rows], tolerances.get(name, 0.0))


def _readers(rows: Sequence[CupRow], noting: Noting) -> dict[str, Callable[[CupRow], Value]]:
    """How each thing is read from a cup: numbers, or words for kinds."""
    turn = _turns(rows)
    zones = {row.zone: ZoneInfo(row.zone) for row in rows}

    def age(row: CupRow) -> Value:
        rest = rest_on(row.brewed_on, row.roasted_on, noting.frozen.get(row.bag_id, ()))
        return None if rest is None else float(rest.days)

    def hour(row: CupRow) -> Value:
        at = row.brewed_at.astimezone(zones[row.zone])
        return at.hour + at.minute / 60

    return {
        "bag_id": lambda row: str(row.bag_id),
        "age_days": age,
        "first_brewer_id": lambda row: str(row.first_brewer_id),
        "stack": lambda row: str(noting.stacks[row.brew_id]) if row.brew_id in noting.stacks
        else None,
        "use": lambda row: row.use,
        "recipe": lambda row: str(row.recipe_id),
        "grinder_id": lambda row: _word(row.grinder_id),
        "grind": lambda row: float(GRINDS.index(row.grind)) if row.grind else None,
        "grind_setting": _setting_reader(rows),
        "dose_g": lambda row: row.dose_g,
        "ratio": lambda row: row.water_g / row.dose_g,
        "bypass_g": lambda row: row.bypass_g,
        "ice_g": lambda row: row.ice_g,
        "water_id": lambda row: _word(row.water_id),
        "water_temp_c": lambda row: row.water_temp_c,
        "steep_s": lambda row: row.steep_s,
        "stirs": lambda row: row.stirs,
        "press_s": lambda row: row.press_s,
        "hour": hour,
        "before": lambda row: turn[row.brew_id],
        "when": lambda row: float(row.brewed_on.toordinal()),
        "weekend": lambda row: float(row.brewed_on.isoweekday() > 5),
    }  # fmt: skip


def _word(row_id: int | None) -> str | None:
    return None if row_id is None else str(row_id)


def _turns(rows: Sequence[CupRow]) -> dict[int, int]:
    """How many of these brews were made before it on its day; `rows` are in order of time."""
    turn: dict[int, int] = {}
    made: dict[object, int] = {}
    for row in rows:
        if row.brew_id not in turn:
            turn[row.brew_id] = made.get(row.brewed_on, 0)
            made[row.brewed_on] = turn[row.brew_id] + 1
    return turn


def _setting_reader(rows: Sequence[CupRow]) -> Callable[[CupRow], Value]:
    """A number where one grinder was used and all its settings are numbers, else a kind."""
    noted = [row for row in rows if row.grind_setting]
    numbers = [setting_number(row.grind_setting) for row in noted]
    if len({row.grinder_id for row in noted}) == 1 and None not in numbers:
        return lambda row: setting_number(row.grind_setting) if row.grind_setting else None
    return lambda row: f"{row.grinder_id}, {row.grind_setting}" if row.grind_setting else None
