"""What each question of a sitting takes, as its page shows it, and what the kitchen has."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace

from werkzeug.datastructures import MultiDict
from wtforms import BooleanField, Field, Form, HiddenField

from app.brewing import bounds
from app.brewing.sitting.wanted import FilterWanted
from app.journal.gathered.groups import NAMES
from app.journal.sittings.cups import CupLike, Value
from app.journal.sittings.proposal import Proposal
from app.models.brews import BrewValues
from app.sensory.terms import LETTERS, Letter
from app.web.amount_fields import BrewingFields
from app.web.fields import LineField, NumberField, PickField, WordField

MOST_TRIALS_CHOSEN = 6
SAME = "A and B are the same so far: say what is different in one of them."
NOTHING = "Choose the side by side, blind trials, or both."
UPRIGHT = ("upright", "flipped")
# A field of a setup is set by the field of its own name, but for these.
SET_BY = {
    "age_days": "bag_id", "first_brewer_id": "brewer_id", "stack": "pack_id",
    "steps": "revision_id",
}  # fmt: skip
IN_THE_STACK = {"pack_id", "use"}
# Left empty: none of it.
OR_NONE = {"bypass_g", "ice_g"}

Lists = Mapping[str, Sequence[tuple[int, str]]]


class CupForm(BrewingFields):
    """What may be changed in a cup; only the fields of the question's factors are kept."""

    bag_id = PickField("Bag", required=True)
    brewer_id = PickField("Brewer", required=True)
    grinder_id = PickField("Grinder")
    water_id = PickField("Kettle water")
    revision_id = PickField("Recipe")
    pack_id = PickField("Filter")
    use = NumberField("Use of the filter", bounds=bounds.FILTER_USE, whole=True)
    grind_setting = LineField("Grinder setting", longest=20)
    press_effort = NumberField("Press effort, 1 to 5", bounds=bounds.PRESS_EFFORT, whole=True)
    flipped = WordField("Upright or flipped", UPRIGHT)  # type: ignore[assignment]  # two words


class HowForm(Form):
    """How a question is asked today."""

    shown = HiddenField()
    pair = BooleanField("Taste A and B side by side, knowing which is which")
    trials = PickField(
        "Blind trials", choices={n: str(n) for n in range(MOST_TRIALS_CHOSEN + 1)}, required=True
    )
    test_id = PickField("Of the blind test")


class KitchenForm(Form):
    kettle_g = NumberField("Kettle holds", bounds=bounds.CAPACITY_G, unit="ml", required=True)


@dataclass(frozen=True, slots=True)
class Cup:
    """A cup as it was proposed: the brew it is like, and what is set for it."""

    like: CupLike
    made: BrewValues


class Chosen:
    """A chosen question: how it is asked, and what is changed in its cups.

    Unless something else was sent, it is one trial of a blind test that goes on if `blind`, else a
    side by side.
    """

    def __init__(
        self, of: Proposal, cups: Mapping[Letter, Cup], lists: Lists,
        sent: MultiDict[str, str] | None, blind: bool,
    ) -> None:  # fmt: skip
        self.of, self.cups = of, cups
        prefix = f"q{of.question_id}-"
        is_sent = sent is not None and f"{prefix}shown" in sent
        sent = sent if is_sent else None
        at_first = {
            "shown": "1", "pair": not blind, "trials": int(blind),
            "test_id": of.tests[0][0] if of.tests else None,
        }  # fmt: skip
        self.how = HowForm(sent, prefix=prefix, data=at_first)
        self.how.test_id.pick_from(of.tests, none="a new one, planned on the way")
        self.changes = {
            letter: _changes(of, cup, lists, sent, f"{prefix}{letter.lower()}-")
            for letter, cup in cups.items()
        }

    @property
    def forms(self) -> list[Form]:
        return [self.how, *self.changes.values()]

    def __iter__(self) -> Iterator[Field]:
        for form in self.forms:
            yield from form

    @property
    def errors(self) -> bool:
        return any(form.errors for form in self.forms)

    def validate(self) -> bool:
        """Whether it can be planned; what is wrong stands beside the fields."""
        found = [form.validate() for form in self.forms]
        sound = all(found)
        if sound and not (self.how.pair.data or self.how.trials.data):
            _refuse(self.how.pair, NOTHING)
            return False
        return sound

    def differs(self, packs: Mapping[int, str]) -> bool:
        """Whether the cups differ, where the question names something that can be set."""
        a, b = (self._set(letter, packs) for letter in LETTERS)
        return a != b or not self.settable

    @property
    def settable(self) -> bool:
        return bool(list(self.changes["B"]))

    def refuse_same(self) -> None:
        _refuse(next(iter(self.changes["B"])), SAME)

    def _set(self, letter: Letter, packs: Mapping[int, str]) -> tuple[object, ...]:
        """All that is set for a cup; which of two alike brewers it is made in does not count."""
        cup = self.cup(letter, packs)
        values = asdict(self.cups[letter].made) | dict(cup.changes)
        if "brewer_id" not in fields_of(self.of.factors):
            del values["brewer_id"]
        return values, cup.filters

    def cup(self, letter: Letter, packs: Mapping[int, str]) -> CupLike:
        """The cup with what was changed; `packs` are the materials of filters by pack."""
        like, form = self.cups[letter].like, self.changes[letter]
        values: dict[str, Value] = dict(like.changes)
        for field in form:
            name = field.short_name
            if name not in IN_THE_STACK:
                values[name] = _value(name, field.data)
        return replace(like, changes=values, filters=_filters(form, like.filters, packs))


def _refuse(field: Field, why: str) -> None:
    field.errors = [*field.errors, why]


def fields_of(factors: Sequence[str]) -> list[str]:
    """The fields that set what a question is about, in its order."""
    names = (NAMES.get(label, "") for label in factors)
    return list(dict.fromkeys(SET_BY.get(name, name) for name in names if name))


def _changes(
    of: Proposal, cup: Cup, lists: Lists, sent: MultiDict[str, str] | None, prefix: str
) -> CupForm:
    form = CupForm(sent, prefix=prefix, data=_data(cup))
    kept = fields_of(of.factors)
    for field in list(form):
        if field.short_name not in kept:
            del form[field.short_name]
        elif isinstance(field, PickField):
            field.pick_from(lists[field.short_name], none="" if field.required else "–")
            field.label.text = f"{prefix[-2].upper()}: {field.label.text}"
        else:
            field.label.text = f"{prefix[-2].upper()}: {field.label.text}"
    return form


def _data(cup: Cup) -> dict[str, object]:
    first = cup.like.filters[0] if cup.like.filters else None
    data: dict[str, object] = asdict(cup.made)
    data |= {name: data[name] or None for name in OR_NONE}
    return data | {
        "flipped": UPRIGHT[cup.made.flipped],
        "pack_id": first.pack_id if first else None,
        "use": first.use if first else None,
    }


def _value(name: str, data: object) -> Value:
    if name == "flipped":
        return data == UPRIGHT[1]
    if data is None and name in OR_NONE:
        return 0.0
    return data if isinstance(data, str | float | int) else None


def _filters(
    form: CupForm, stack: tuple[FilterWanted, ...], packs: Mapping[int, str]
) -> tuple[FilterWanted, ...]:
    """The stack with another first filter, or with that at another use."""
    names = {field.short_name for field in form}
    if not names & IN_THE_STACK:
        return stack
    first = stack[0] if stack else None
    pack_id = form.pack_id.data if "pack_id" in names else first and first.pack_id
    if not pack_id:
        return stack[1:]
    use = first.use if first and first.pack_id == pack_id else _usual(packs.get(pack_id))
    if "use" in names:
        use = int(form.use.data) if form.use.data else None
    return (FilterWanted(pack_id, use), *stack[1:])


def _usual(material: str | None) -> int | None:
    """A paper is fresh, unless somebody says otherwise."""
    return 1 if material == "paper" else None
