"""What is drawn quickly is what WTForms itself would draw."""

from __future__ import annotations

import pytest
from markupsafe import Markup
from wtforms import Form
from wtforms.widgets import Select, html_params

from app.web.fields import PickField
from app.web.widgets import OneOf, attributes


@pytest.mark.parametrize(
    "named",
    [
        {"id": "a-1", "name": "a", "type": "radio", "value": 'x"><script>'},
        {"checked": True, "value": 7, "disabled": False, "class_": "one & two"},
        {"aria_describedby": "a-hint", "data_left_over": "", "value": "Müller's"},
    ],
)
def test_attributes_are_written_as_wtforms_does(named: dict[str, object]) -> None:
    assert attributes(**named) == html_params(**named)


def test_a_list_is_drawn_as_wtforms_does() -> None:
    class Picking(Form):
        bag = PickField("Bag")

    form = Picking(data={"bag": 2})
    form.bag.pick_from([(1, "A & B"), (2, '"<b>C</b>"')], none="No bag")
    assert type(form.bag.widget) is OneOf
    # The end of an option may be left out: the next one ends it.
    assert form.bag() == Select()(form.bag).replace(Markup("</option>"), "")
    assert "<b>" not in form.bag()
