"""The page of two groups of cups side by side."""

from flask import Blueprint, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.groups import words
from app.groups.address import Asked, Forms, asked_in, forms_of, query_of, said_in
from app.groups.balance_words import HEAD, balance
from app.groups.choices import fill_lists, presets, read_names
from app.groups.figures import NO_PICTURE, charts, shown_strata
from app.groups.forms import IN_BOTH, ROWS
from app.journal.groups.compared import compare_groups
from app.web.assets import show_charts
from app.web.formats import formats
from app.web.session import reading

pages = Blueprint("groups", __name__, url_prefix="/groups")

Answer = str | Response | tuple[str, int]


@pages.get("/")
def index() -> Answer:
    session, forms = reading(), forms_of(request.args)
    if not request.args:
        return _start(session, forms, Asked())
    fine = not [form for form in forms.values() if not form.validate()]  # each says what is wrong
    asked = asked_in(forms, request.args) if fine else Asked()
    if not fine or asked.trouble:
        return _start(session, forms, asked, asked.trouble if fine else ""), 422
    if said_in(asked) != list(request.args.items(multi=True)):
        return redirect(f"{url_for('.index')}?{query_of(asked)}", 303)
    return _page(session, forms, asked)


def _start(session: Session, forms: Forms, asked: Asked, trouble: str = "") -> str:
    """What can be compared, and the form."""
    names = read_names(session, asked, formats())
    fill_lists(forms.values(), names)
    return render_template(
        "groups/index.html",
        forms=forms,
        rows=ROWS,
        in_both=IN_BOTH,
        trouble=trouble,
        presets=[(one.label, query_of(one.asked)) for one in presets(session, names)],
    )


def _page(session: Session, forms: Forms, asked: Asked) -> str:
    names = read_names(session, asked, formats())
    fill_lists(forms.values(), names)
    compared = compare_groups(session, asked.group_a, asked.group_b, rest=asked.rest)
    shown = shown_strata(compared, asked.show)
    drawn = charts(shown, formats())
    if drawn:
        show_charts()
    return render_template(
        "groups/show.html",
        forms=forms,
        rows=ROWS,
        in_both=IN_BOTH,
        said=words.in_words(asked, names, formats()),
        compared=compared,
        findings=[(one, words.finding(one), balance(one, formats())) for one in compared.strata],
        balance_head=HEAD,
        levels=words.LEVELS,
        limits=words.limits(compared),
        shown=shown,
        charts=drawn,
        no_picture=NO_PICTURE,
        repeats=words.own_repeats(compared),
        tasters=_tasters(asked, shown[0].taster_id if shown else 0, words.tasters_of(compared)),
    )


def _tasters(
    asked: Asked, shown: int, tasters: list[tuple[int, str]]
) -> list[tuple[str, str, bool]]:
    """Whose charts could be shown: name, query, whether they are."""
    return [
        (name, query_of(Asked(asked.both, asked.a, asked.b, taster_id)), taster_id == shown)
        for taster_id, name in tasters
    ]
