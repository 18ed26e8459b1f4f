"""Radio buttons and lists, which a page draws by the hundred: their attributes are written without
the generality that takes WTForms ten times as long."""

from functools import cache
from typing import Any

from markupsafe import Markup, escape
from wtforms.widgets import RadioInput, Select


def attributes(**named: Any) -> str:
    """As WTForms writes them: by name, a true one without a value, a false one not at all."""
    given = sorted((_key(name), value) for name, value in named.items() if value is not False)
    return " ".join(name if value is True else f'{name}="{escape(value)}"' for name, value in given)


@cache
def _key(name: str) -> str:
    key = name.rstrip("_")
    return key.replace("_", "-") if key.startswith(("data_", "aria_")) else key


class OneMark(RadioInput):
    """A radio button."""

    html_params = staticmethod(attributes)


class OneOf(Select):
    """A list to choose one from."""

    @classmethod
    def render_option(cls, choice: Any, **named: Any) -> Markup:  # type: ignore[override]
        own = {"value": choice.value, "selected": choice.selected, **(choice.render_kw or {})}
        told, label = attributes(**own | named), escape(choice.label or choice.value)
        return Markup(f"<option {told}>{label}</option>")  # noqa: S704  # each part is escaped
