"""What each question of a sitting takes, as its page shows it, and what the kitchen has."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict

from werkzeug.datastructures import MultiDict
from wtforms import BooleanField, Field, Form, HiddenField

from app.brewing import bounds
from app.journal.sittings.cups import CupLike
from app.journal.sittings.proposal import Proposal
from app.sensory.terms import LETTERS, Letter
from app.sittings.plan_cup import Cup, Lists, changed, changes_of, fields_of
from app.web.fields import NumberField, PickField

MOST_TRIALS_CHOSEN = 6
SAME = "A and B are the same so far: say what is different in one of them."
NOTHING = "Choose the side by side, blind trials, or both."


class HowForm(Form):
    """How a question is asked today."""

    shown = HiddenField()
    pair = BooleanField("Taste A and B side by side, knowing which is which")
    trials = PickField(
        "Blind trials", choices={n: str(n) for n in range(MOST_TRIALS_CHOSEN + 1)}, required=True
    )
    test_id = PickField("Of the blind test")


class KitchenForm(Form):
    bag_id = PickField("Beans of all cups")
    kettle_g = NumberField("Kettle holds", bounds=bounds.CAPACITY_G, unit="ml", required=True)


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
            letter: changes_of(cup, letter, of.factors, lists, sent, f"{prefix}{letter.lower()}-")
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
        return changed(self.cups[letter].like, self.changes[letter], packs)


def _refuse(field: Field, why: str) -> None:
    field.errors = [*field.errors, why]
