"""The page of the brew form: as it starts, with its errors, with what is asked before saving."""

from collections.abc import Sequence

from flask import render_template

from app.brews import asking, words
from app.brews.asking import Ask
from app.brews.filling import PickLists
from app.brews.forms import BrewForm, field_in_words, ratio_line
from app.brews.shared_lists import share
from app.models import Brew
from app.web import clock
from app.web.session import reading


def form_page(
    form: BrewForm,
    lists: PickLists,
    brew: Brew | None = None,
    questions: Sequence[Ask] = (),
    *,
    filled: bool = False,
) -> str:
    first = not lists.bags and not lists.gear["brewer_id"] and brew is None
    said = {field.name: field_in_words(field) for field in form}
    return render_template(
        "brews/form.html",
        form=form,
        lists=lists,
        brew=brew,
        asks=questions,
        filled=filled,
        photo_again=bool(form.photo.data),
        said=said,
        ratio=ratio_line(form),
        lead=words.FIRST_LEAD if first else words.LEAD,
        kinds=words.KINDS,
        like=share(form, dict.fromkeys(("filter_2", "filter_3"), "filter_1")),
    )


def refused(
    form: BrewForm, brew: Brew | None = None, questions: Sequence[Ask] = ()
) -> tuple[str, int]:
    """The form as it was sent, with its errors, or with what is asked before it is saved."""
    lists = PickLists(reading(), clock.today(), brew)
    lists.put_into(form)
    return form_page(form, lists, brew, questions), 422


def filled_by_recipe(form: BrewForm, brew: Brew | None = None) -> tuple[str, int] | None:
    """The form with what its recipe says, not saved yet, if that was asked for."""
    if not asking.wants_recipe(form):
        return None
    lists = PickLists(reading(), clock.today(), brew)
    lists.put_into(form)
    asking.fill(reading(), form, lists)
    return form_page(form, lists, brew, filled=True), 422
