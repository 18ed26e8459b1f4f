"""The form of a plan: what is varied between which settings, like which brew, for whom, how long.

Every field of a brew that is a number can be varied; its low and its high setting are typed as the
brew's own form has it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict

from werkzeug.datastructures import MultiDict
from wtforms import BooleanField, Field, Form

from app.brewing.tolerances import TOLERANCES
from app.journal.experiments.settings import amount_in_words, number_of
from app.journal.pairs.setup import LABELS
from app.models.brews import BrewValues
from app.sensory.scores.design import Design, Factor
from app.web.amount_fields import BrewingFields
from app.web.fields import DurationField, NumberField, PickField
from app.web.formats import formats

SETTING = (-1000.0, 1000.0)
VARIED_AT_FIRST = ("water_temp_c", "steep_s", "dose_g", "water_g")  # two of these
SHARE = 0.1  # of the setting, up and down, as a first proposal
SIZES = ("Short", "Usual", "Long")
# Rounds of the corners and brews of the middle, with two factors and with three.
DESIGNS = {2: ((2, 2), (3, 3), (4, 4)), 3: ((1, 4), (2, 4), (3, 4))}

WHICH = "Choose two or three things to vary."
ORDER = "The low setting has to be below the high one."
TOO_CLOSE = "Nobody can keep to that: choose settings that are further apart."
NO_MIDDLE = "There is no whole number in the middle: choose two even or two odd ones."

Level = NumberField | DurationField


class LevelForm(BrewingFields):
    """One level of everything that can be varied."""

    grind_setting = NumberField("Grinder setting", bounds=SETTING)


class PlanForm(Form):
    like = PickField("Everything else as in", required=True)
    recipe = PickField("By the numbers of")
    taster = PickField("Who scores", required=True)
    size = PickField("How long", choices=dict(enumerate(SIZES)), required=True, default=0)


class Row:
    """Something that can be varied: whether it is, and between which settings."""

    def __init__(self, name: str, chosen: BooleanField, low: Level, high: Level) -> None:
        self.name, self.chosen, self.low, self.high = name, chosen, low, high
        self.label = LABELS[name]

    @property
    def varied(self) -> bool:
        return bool(self.chosen.data)

    @property
    def wrong(self) -> bool:
        return any(field.errors for field in self.fields())

    @property
    def said(self) -> str:
        """Between which settings, as its folded row says it."""
        if self.wrong or self.low.data is None or self.high.data is None:
            return "to be set"
        ends = (amount_in_words(self.name, at.data or 0, formats()) for at in (self.low, self.high))
        return " to ".join(ends)

    def fields(self) -> tuple[Field, ...]:
        return self.chosen, self.low, self.high

    def check(self) -> None:
        """Say beside the fields what is wrong with the settings of something that is varied."""
        low, high = self.low.data, self.high.data
        if self.low.errors or self.high.errors:
            return
        if low is None or high is None:
            empty = self.low if low is None else self.high
            empty.errors = [*empty.errors, "Please fill this in."]
        elif low >= high:
            self.high.errors = [*self.high.errors, ORDER]
        elif high - low <= 2 * TOLERANCES.get(self.name, 0.0):
            self.high.errors = [*self.high.errors, TOO_CLOSE]
        elif getattr(self.low, "whole", False) and (low + high) % 2:
            self.high.errors = [*self.high.errors, NO_MIDDLE]

    def factor(self) -> Factor:
        return Factor(self.name, float(self.low.data or 0), float(self.high.data or 0))


class Rows:
    """All that can be varied of a brew, as it was sent, or else as it is proposed."""

    def __init__(self, base: BrewValues, sent: MultiDict[str, str] | None) -> None:
        settings = {name: number_of(value) for name, value in asdict(base).items()}
        known = {name: value for name, value in settings.items() if value is not None}
        low = LevelForm(sent, prefix="low-", data=_proposed(known, -1))
        high = LevelForm(sent, prefix="high-", data=_proposed(known, +1))
        low.validate()
        high.validate()
        at_first = [name for name in VARIED_AT_FIRST if known.get(name)][:2]
        self.rows = []
        for name in varied_names():
            if name in known and (known[name] or f"low-{name}" in (sent or {})):
                vary = _Vary(sent, prefix=f"{name}-", data={"vary": name in at_first})
                vary.vary.label.text = f"Vary the {LABELS[name]}"
                self.rows.append(Row(name, vary.vary, _level(low, name), _level(high, name)))
        self.wrong = ""
        for row in self.rows:
            row.low.label.text = f"Low {row.label}"
            row.high.label.text = f"High {row.label}"
            if row.varied:
                row.check()
            else:
                row.low.errors = row.high.errors = ()
        if len(self.varied) not in DESIGNS:
            self.wrong = WHICH

    def __iter__(self) -> Iterator[Field]:
        for row in self.rows:
            yield from row.fields()

    @property
    def varied(self) -> Sequence[Row]:
        return [row for row in self.rows if row.varied]

    @property
    def sound(self) -> bool:
        return not self.wrong and not any(field.errors for field in self)

    def factors(self) -> list[Factor]:
        return [row.factor() for row in self.varied]


class _Vary(Form):
    vary = BooleanField("Vary it")


def _level(form: LevelForm, name: str) -> Level:
    field = form[name]
    if not isinstance(field, NumberField | DurationField):
        raise LookupError(name)
    return field


def design_of(factors: int, size: int | None) -> Design:
    rounds, centres = DESIGNS[factors][size or 0]
    return Design(factors, rounds, centres)


def varied_names() -> list[str]:
    """The fields of a brew that are numbers, in the order of its form."""
    form = LevelForm()
    return [one.short_name for one in form if isinstance(one, NumberField | DurationField)]


def _proposed(known: Mapping[str, float], way: int) -> dict[str, float]:
    """Settings a little below, or above, those of the brew: what hands can keep apart."""
    form, proposed = LevelForm(), {}
    for name in varied_names():
        value = known.get(name)
        if value is None:
            continue
        field = _level(form, name)
        step = 3 * TOLERANCES.get(name, 0.0)
        if getattr(field, "stored_unit", "") != "°C":
            step = max(step, SHARE * abs(value))
        step = max(1.0, round(step)) if step >= 1 or not step else round(step, 1)
        low, high = field.bounds
        proposed[name] = min(max(value + way * step, low), high)
        if isinstance(field, DurationField) or getattr(field, "whole", False):
            proposed[name] = round(proposed[name])
    return proposed
