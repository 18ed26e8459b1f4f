"""Two brews logged as a pair: the form of each, and what the second one starts from."""

from collections.abc import Sequence

from werkzeug.datastructures import MultiDict
from wtforms import RadioField

from app.brews.filling import SLOTS, FormValues
from app.brews.forms import FRESH, BrewForm
from app.journal.on_hand import OnHand
from app.journal.packs import PackLeft
from app.sensory.terms import LETTERS
from app.web.fields import StepsField
from app.web.two_forms import TwoForms
from app.web.widgets import OneOf

IN_THE_OTHER = "This filter is in the other brewer. One filter cannot be in two at once."


class Pair(TwoForms[BrewForm]):
    """The forms of cup A and cup B, whose fields are named "a-dose_g" and "b-dose_g"."""

    def __init__(
        self, sent: MultiDict[str, str] | None = None, values: Sequence[FormValues] = ({}, {})
    ) -> None:
        super().__init__(
            {
                letter: BrewForm(sent, prefix=f"{letter.lower()}-", data=data)
                for letter, data in zip(LETTERS, values, strict=True)
            }
        )
        for form in self.cups.values():
            for field in form:
                if isinstance(field, RadioField):
                    field.widget = OneOf()  # two lists of cards would be a long page
                if isinstance(field, StepsField):
                    steps = [str(label) for _, label, *_ in field.iter_choices()]
                    field.choices = [(step, step or "–") for step in ("", *steps)]
            form.new_brewer_kind.data = form.new_brewer_kind.data or ""  # not asked for here

    def name_cups(self) -> None:
        """Let each label say which cup it is of."""
        for letter, form in self.cups.items():
            for field in form:
                field.label.text = f"{letter}: {field.label.text.partition(' (')[0]}"

    def share_no_filter(self) -> bool:
        """Whether no filter is in both brewers, with a message beside each of B's that is."""
        of_a = {slot.data for slot in self.a.slots if slot.choice and slot.choice.filter_id}
        both = [slot for slot in self.b.slots if slot.data in of_a]
        for slot in both:
            slot.errors = [*slot.errors, IN_THE_OTHER]
        return not both


def beside(values: FormValues, hand: Sequence[OnHand], packs: Sequence[PackLeft]) -> FormValues:
    """A second cup like the first, with other filters: of the same pack, and as often used as can
    be; a fresh one where none of the pack is in use; none where the pack is empty."""
    taken = {values.get(slot) for slot in SLOTS}
    second = dict(values)
    for slot in SLOTS:
        second[slot] = _other(str(values.get(slot) or ""), taken, hand, packs)
        taken.add(second[slot])
    return second


def _other(
    named: str, taken: set[object], hand: Sequence[OnHand], packs: Sequence[PackLeft]
) -> str:
    left = {pack.id: pack.left for pack in packs}
    if named.startswith(FRESH):
        # The first brewer takes one out of the pack, too.
        return named if left.get(int(named.removeprefix(FRESH)), 0) > 1 else ""
    like = next((row for row in hand if str(row.filter_id) == named), None)
    if like is None:
        return ""
    others = [row for row in hand if row.pack_id == like.pack_id]
    free = [row for row in others if str(row.filter_id) not in taken]
    if free:
        return str(min(free, key=lambda row: abs(row.uses - like.uses)).filter_id)
    return f"{FRESH}{like.pack_id}" if left.get(like.pack_id) else ""
