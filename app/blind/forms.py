"""The forms of blind tests: the plan, what may be changed of it, an answer, a mark, a reason."""

from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from wtforms import BooleanField, Form, RadioField
from wtforms.fields.choices import SelectFieldBase
from wtforms.form import BaseForm
from wtforms.validators import ValidationError

from app.blind.cups import says_b_first
from app.blind.tasters import MoreTasters
from app.blind.words import BREWINGS, CLAIMS, METHODS, MORE, POURINGS, RULES, SIZES, TASTINGS
from app.brewing.bounds import CONTROLS, FILTER_USE, FIXED_TRIALS, PACKETS
from app.journal.blind.plan import ALPHA, BETA, CUP_PARTS, DIRECTED, refusals
from app.journal.blind.saving import BlindTestChanges
from app.models import BlindTest
from app.models.base import NAME_CHARS, NOTE_CHARS, WORDS_CHARS
from app.sensory.blind.methods import PANEL
from app.web.fields import LineField, NoteField, NumberField, PickField, number_or_none
from app.web.widgets import OneMark

Word = TypeVar("Word", bound=str)
B_FIRST = (
    "This name speaks of B before A, so that who goes by it would pour the cups swapped. Turn it "
    "round, or leave it empty."
)
MORE_THAN_ONE = "More than one taster is named below: choose several tasters, or a panel."


class CardField(RadioField):
    """One of a few cards."""

    option_widget = OneMark()

    def pre_validate(self, form: BaseForm) -> None:
        if not is_listed(self):
            raise ValidationError("Please choose one.")


def cards(words: Mapping[Word, str]) -> dict[str, str]:
    return {str(word): text for word, text in words.items()}


def is_listed(field: SelectFieldBase) -> bool:
    return field.data in {choice[0] for choice in field.iter_choices()}


class PlanForm(MoreTasters):
    title = LineField("Name of the test", longest=NAME_CHARS)
    a_words = LineField("Cup A", longest=WORDS_CHARS)
    a_brew_id = PickField("A brew")
    a_revision_id = PickField("A recipe")
    a_filter_id = PickField("A filter")
    a_filter_use = NumberField("at its use number", bounds=FILTER_USE, whole=True)
    b_words = LineField("Cup B", longest=WORDS_CHARS)
    b_brew_id = PickField("A brew")
    b_revision_id = PickField("A recipe")
    b_filter_id = PickField("A filter")
    b_filter_use = NumberField("at its use number", bounds=FILTER_USE, whole=True)
    claim = CardField("What should it say?", choices=cards(CLAIMS), default="these cups")
    brewing = CardField("How are the cups brewed?", choices=cards(BREWINGS), default="one pair")
    method = CardField("How is it asked?", choices=cards(METHODS), default="triangle")
    attribute = LineField("What to taste for", longest=NAME_CHARS)
    more = CardField("Which cup should have more of it?", choices=cards(MORE), default="B")
    reminder = BooleanField("Taste a cup known to be A first, as a reminder")
    rule = CardField("When does it end?", choices=cards(RULES), default="every morning")
    fixed_trials = NumberField("Number of trials", bounds=FIXED_TRIALS, whole=True, default=18)
    p_d_pct = CardField("Which difference would matter to you?", choices=cards(SIZES))
    controls = NumberField("Trials of A against A mixed in", bounds=CONTROLS, whole=True)
    pouring = CardField("Who pours?", choices=cards(POURINGS), default="solo")
    tasting = CardField("Who tastes?", choices=cards(TASTINGS), default="one")
    taster_id = PickField("Taster")
    new_taster = LineField("Name of a new taster", longest=NAME_CHARS)
    question_id = PickField("Question it is to answer")
    note = NoteField("Note", longest=NOTE_CHARS)
    line = PickField("Line of a sitting that it is planned for")

    def validate(self, extra_validators: Mapping[str, Sequence[object]] | None = None) -> bool:
        sound = super().validate(extra_validators)
        for cup in ("a", "b"):
            sound = self._validate_cup(cup) and sound
        if self.rule.data == "fixed number" and self.fixed_trials.data is None:
            sound = self._refuse("fixed_trials", "Please fill this in.")
        sound = self._validate_tasters() and sound
        if not sound:
            return False
        test = self.test()
        refused = refusals(test)
        if says_b_first(test.title, test.a_words, test.b_words):
            refused.append(("title", B_FIRST))
        for name, why in refused:
            self._refuse("p_d_pct" if name == "p_d" else name, why)
        return not refused

    def _validate_cup(self, cup: str) -> bool:
        words, brew, revision, used, use = (self[f"{cup}_{part}"] for part in CUP_PARTS)
        if not (words.data or brew.data or revision.data or used.data) and not words.errors:
            return self._refuse(
                words.name, "Say what is in this cup, in words or by a choice below."
            )
        if (use.data is None) != (used.data is None) and not use.errors:
            return self._refuse(use.name, "Choose a filter and say at which use.")
        return True

    def _validate_tasters(self) -> bool:
        if self.taster_id.data is None and not self.new_taster.data:
            return self._refuse("new_taster", "Please say who tastes.")
        if self.count() and self.tasting.data == "one":
            return self._refuse("tasting", MORE_THAN_ONE)
        planned = self.fixed_trials.data if self.tasting.data == "panel" else PANEL[1]
        if planned and 1 + self.count() > planned:
            return self._refuse("more_names", f"That makes more than {planned} tasters.")
        return True

    def _refuse(self, name: str, why: str) -> bool:
        """False, with the reason beside the field (unless it has one already)."""
        if not self[name].errors:
            self[name].errors = [why]
        return False

    def test(self) -> BlindTest:
        """The test as planned, not saved; what its method or rule does not use is left out."""
        directed, steps = self.method.data in DIRECTED, self.rule.data == "step by step"
        cups = {f"{cup}_{part}": self[f"{cup}_{part}"].data for cup in "ab" for part in CUP_PARTS}
        for cup in "ab":
            cups[f"{cup}_words"] = cups[f"{cup}_words"] or self.pointed_at(cup)
        words = f"{cups['a_words']} or {cups['b_words']}"
        return BlindTest(
            title=self.title.data or (words if len(words) <= NAME_CHARS else "A or B"),
            **cups,
            claim=self.claim.data,
            brewing=self.brewing.data,
            method=self.method.data,
            attribute=self.attribute.data if directed else "",
            more=self.more.data if directed else None,
            reminder=self.reminder.data and self.method.data == "A-not-A",
            pouring=self.pouring.data,
            rule=self.rule.data,
            p_d=int(self.p_d_pct.data or 0) / 100,
            fixed_trials=self.fixed_trials.data if self.rule.data == "fixed number" else None,
            alpha=ALPHA if steps else None,
            beta=BETA if steps else None,
            control_in=0,
            controls=int(self.controls.data or 0),
            several_tasters=self.tasting.data != "one",
            balanced=self.tasting.data == "panel",
            note=self.note.data or "",
        )

    @property
    def chosen_question(self) -> str:
        """The text of the question that the test is put under; empty if there is none."""
        texts = {choice[0]: choice[1] for choice in self.question_id.iter_choices()}
        return str(texts[self.question_id.data]) if self.question_id.data in texts else ""

    def pointed_at(self, cup: str) -> str:
        """What of the journal was chosen for a cup, in the words of the pick lists."""
        names = []
        for part in ("brew_id", "revision_id", "filter_id"):
            field: Any = self[f"{cup}_{part}"]
            listed = {choice[0]: choice[1] for choice in field.iter_choices()}
            if field.data is not None:
                names.append(listed.get(field.data, ""))
        if self[f"{cup}_filter_use"].data is not None:
            names.append(f"use {self[f'{cup}_filter_use'].data}")
        return ", ".join(names)[:WORDS_CHARS]


class EditForm(Form):
    """What may change once trials were drawn."""

    title = LineField("Name of the test", longest=NAME_CHARS, required=True)
    pouring = CardField("Who pours?", choices=cards(POURINGS))
    note = NoteField("Note", longest=NOTE_CHARS)

    def values(self) -> BlindTestChanges:
        return BlindTestChanges(self.title.data or "", self.pouring.data, self.note.data or "")


class AnswerForm(Form):
    """The place chosen; the button pressed says how sure."""

    place = RadioField("Your answer", coerce=number_or_none, validate_choice=False)
    note = NoteField("Note", longest=NOTE_CHARS)

    def validate_place(self, field: RadioField) -> None:
        if not is_listed(field):
            raise ValidationError("Please choose an answer.")


class MarkForm(Form):
    mark = RadioField("Mark", validate_choice=False)

    def validate_mark(self, field: RadioField) -> None:
        if not is_listed(field):
            raise ValidationError("Please choose a mark.")


class PacketsForm(Form):
    count = NumberField("How many packets", bounds=PACKETS, whole=True, required=True, default=8)


class ReasonForm(Form):
    reason = LineField("Reason", longest=WORDS_CHARS, required=True)
