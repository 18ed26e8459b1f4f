"""The cups to brew along, as the log form's fields arrive in the page's address."""

from collections.abc import Mapping

from werkzeug.datastructures import MultiDict
from wtforms import HiddenField

from app.along.plan import CupToBrew
from app.models.recipes import Amounts
from app.sensory.terms import LETTERS, Letter
from app.web.amount_fields import BrewingFields
from app.web.fields import filled_in, number_or_none

# What the log form starts from: the rest of it is not in the address.
STARTS = {"like", "recipe"}
# What a form carries beside what was typed.
NOT_TYPED = {"csrf_token", "entry_key", "in_units", "seen"}


class CupForm(BrewingFields):
    brewer_id = HiddenField()
    revision_id = HiddenField()

    @property
    def cup(self) -> CupToBrew:
        """The cup of a valid form."""
        return CupToBrew(
            filled_in(self, Amounts),
            number_or_none(self.brewer_id.data),
            number_or_none(self.revision_id.data),
        )


def cups_of(sent: MultiDict[str, str]) -> dict[Letter, CupForm]:
    """A form for each cup of which anything is named: "a-dose_g", "b-dose_g"."""
    return {
        letter: CupForm(sent, prefix=f"{letter.lower()}-")
        for letter in LETTERS
        if any(name.startswith(f"{letter.lower()}-") for name in sent)
    }


def typed(form: Mapping[str, str]) -> dict[str, str]:
    """What was typed into the form of one cup, or of two, as the address of the page takes it."""
    given = {name: text for name, text in form.items() if text and name not in NOT_TYPED}
    is_pair = any(name.startswith("a-") for name in given)
    return given if is_pair else {f"a-{name}": text for name, text in given.items()}


def to_log(args: Mapping[str, str], *, is_pair: bool) -> dict[str, str]:
    """The same for the page that logs what was brewed."""
    if is_pair:
        return dict(args)
    plain = {name.removeprefix("a-"): text for name, text in args.items()}
    return plain if STARTS & plain.keys() else plain | {"typed": "1"}
