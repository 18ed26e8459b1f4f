"""A field with several of a list, each with a box to tick."""

from wtforms import SelectMultipleField
from wtforms.form import BaseForm
from wtforms.validators import ValidationError
from wtforms.widgets import CheckboxInput


class ManyField(SelectMultipleField):
    """Some of what is listed; rows go by their numbers."""

    option_widget = CheckboxInput()

    def pre_validate(self, form: BaseForm) -> None:
        listed = {choice[0] for choice in self.iter_choices()}
        if not set(self.data or ()) <= listed:
            raise ValidationError("Please choose from the list.")
