"""The filters of a brew as the API takes them, put into the fields of the form."""

from app.brews.forms import FRESH, BrewForm
from app.web.api.json_forms import LARGEST_ID, fits
from app.web.api.problems import Fault

SLOTS = 3
ID = {"type": "integer", "minimum": 1, "maximum": LARGEST_ID}
STACK_SCHEMA: dict[str, object] = {
    "type": "array",
    "maxItems": SLOTS,
    "description": "Its filters, the lowest first, each with its filter_id or, for a fresh one, "
    "the pack_id of its pack; with retire: true it is thrown away after this brew.",
    "items": {
        "type": "object",
        "properties": {"filter_id": ID, "pack_id": ID, "retire": {"type": "boolean"}},
        "oneOf": [{"required": ["filter_id"]}, {"required": ["pack_id"]}],
        "additionalProperties": False,
    },
}
POINTERS = {
    f"{name}_{place}": f"#/filters/{place - 1}"
    for place in range(1, SLOTS + 1)
    for name in ("filter", "retire")
}
NO_LIST = f"Please send a list of at most {SLOTS} filters."
ONE_OF_TWO = "Please send a filter_id or a pack_id, and retire only as true or false."


def fill_stack(form: BrewForm, sent: object) -> list[Fault]:
    """What of the list cannot be read; the form's own checks follow."""
    if not isinstance(sent, list) or len(sent) > SLOTS:
        return [Fault("#/filters", NO_LIST)]
    faults = []
    for place, one in enumerate(sent):
        choice = _choice(one)
        if choice is None:
            faults.append(Fault(f"#/filters/{place}", ONE_OF_TWO))
            continue
        form.slots[place].data = choice
        form[f"retire_{place + 1}"].data = isinstance(one, dict) and one.get("retire", False)
    return faults


def _choice(one: object) -> str | None:
    if not isinstance(one, dict) or one.keys() - {"filter_id", "pack_id", "retire"}:
        return None
    named = [name for name in ("filter_id", "pack_id") if name in one]
    if len(named) != 1 or not fits(one.get("retire", False), "boolean"):
        return None
    number = one[named[0]]
    if not fits(number, "integer") or not 1 <= number <= LARGEST_ID:
        return None
    return f"{FRESH if named[0] == 'pack_id' else ''}{int(number)}"
