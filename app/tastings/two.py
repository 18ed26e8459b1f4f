"""Two cups tasted at one sitting: a form for each, by one taster, at one time."""

from collections.abc import Iterator
from itertools import chain

from werkzeug.datastructures import MultiDict
from wtforms import Field

from app.sensory.terms import LETTERS, Letter
from app.tastings.forms import NOTHING_SAID, TastingForm
from app.web.two_forms import TwoForms

# Said once for both cups, in the form of A.
SHARED = ("taster_id", "new_taster", "tasted_at", "blind")


class TwoTastings(TwoForms[TastingForm]):
    """The forms of cup A and cup B, whose fields are named "a-liking" and "b-liking"."""

    def __init__(
        self,
        sent: MultiDict[str, str] | None = None,
        taster_id: int | None = None,
        of: type[TastingForm] = TastingForm,
    ) -> None:
        super().__init__(
            {
                letter: of(sent, prefix=f"{letter.lower()}-", taster_id=taster_id)
                for letter in LETTERS
            }
        )
        for name in SHARED:
            if name in self.b:
                self.b[name].data = self.a[name].data

    def __iter__(self) -> Iterator[Field]:
        return chain(self.a, (field for field in self.b if field.short_name not in SHARED))

    def pick_taster_from(self, tasters: list[tuple[int, str]]) -> None:
        for form in self.cups.values():
            form.taster_id.choices = tasters

    def validated(self) -> list[Letter]:
        """The cups of which something is said; none where anything is wrong."""
        said = [letter for letter, form in self.cups.items() if form.says_anything]
        if not said:
            self.a.validate()
            if NOTHING_SAID not in self.a.form_errors:
                self.a.form_errors.append(NOTHING_SAID)
        valid = [self.cups[letter].validate() for letter in said]
        return said if all(valid) else []
