"""What may be changed in a cup of a sitting, as the question's factors say."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace

from werkzeug.datastructures import MultiDict

from app.brewing import bounds
from app.brewing.sitting.wanted import FilterWanted
from app.journal.gathered.groups import NAMES
from app.journal.sittings.cups import CupLike, Value
from app.models.brews import BrewValues
from app.sensory.terms import Letter
from app.web.amount_fields import BrewingFields
from app.web.fields import LineField, NumberField, PickField, WordField

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
    flipped = WordField("Upright or flipped", UPRIGHT)  # type: ignore[assignment]  # two words


@dataclass(frozen=True, slots=True)
class Cup:
    """A cup as it was proposed: the brew it is like, and what is set for it."""

    like: CupLike
    made: BrewValues


def fields_of(factors: Sequence[str]) -> list[str]:
    """The fields that set what a question is about, in its order; what cannot be set before a brew
    is made has none."""
    names = (NAMES.get(label, "") for label in factors)
    fields = (SET_BY.get(name, name) for name in names)
    return list(dict.fromkeys(name for name in fields if hasattr(CupForm, name)))


def changes_of(
    cup: Cup, letter: Letter, factors: Sequence[str], lists: Lists,
    sent: MultiDict[str, str] | None, prefix: str,
) -> CupForm:  # fmt: skip
    """The form of a cup with the fields of these factors, each named by its cup."""
    form = CupForm(sent, prefix=prefix, data=_data(cup))
    kept = fields_of(factors)
    for field in list(form):
        if field.short_name not in kept:
            del form[field.short_name]
            continue
        if isinstance(field, PickField):
            field.pick_from(lists[field.short_name], none="" if field.required else "–")
        field.label.text = f"{letter}: {field.label.text}"
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


def changed(like: CupLike, form: CupForm, packs: Mapping[int, str]) -> CupLike:
    """The cup with what a valid form changes; `packs` are the materials of filters by pack."""
    values: dict[str, Value] = dict(like.changes)
    for field in form:
        if field.short_name not in IN_THE_STACK:
            values[field.short_name] = _value(field.short_name, field.data)
    return replace(like, changes=values, filters=_filters(form, like.filters, packs))
