"""Radio buttons and lists, which a page draws by the hundred: their attributes are written without
the generality that takes WTForms ten times as long. What HTML takes for granted is not sent."""

from functools import cache
from typing import Any

from markupsafe import Markup, escape
from wtforms import Field
from wtforms.widgets import RadioInput, Select, TextInput

TEXT, EMPTY = Markup(' type="text"'), Markup(' value=""')


def attributes(**named: Any) -> str:
    """As WTForms writes them: by name, a true one without a value, a false one not at all."""
    given = sorted((_key(name), value) for name, value in named.items() if value is not False)
    return " ".join(name if value is True else f'{name}="{escape(value)}"' for name, value in given)


@cache
def _key(name: str) -> str:
    key = name.rstrip("_")
    return key.replace("_", "-") if key.startswith(("data_", "aria_")) else key


class Line(TextInput):
    """An input of text, which every input is unless it says otherwise."""

    def __call__(self, field: Field, **named: object) -> Markup:
        return super().__call__(field, **named).replace(TEXT, "").replace(EMPTY, "")


class OneMark(RadioInput):
    """A radio button."""

    html_params = staticmethod(attributes)


class OneOf(Select):
    """A list to choose one from; the next option ends the one before."""

    @classmethod
    def render_option(cls, choice: Any, **named: Any) -> Markup:  # type: ignore[override]
        own = {"value": choice.value, "selected": choice.selected, **(choice.render_kw or {})}
        told, label = attributes(**own | named), escape(choice.label or choice.value)
        return Markup(f"<option {told}>{label}")  # noqa: S704  # each part is escaped
