"""The page of two groups of cups side by side."""

from dataclasses import replace

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.groups import words
from app.groups.address import Asked, Forms, asked_in, asked_of_query, forms_of, query_of, said_in
from app.groups.as_table import GROUP_COLUMNS, grouped_cups
from app.groups.balance_words import HEAD, balance
from app.groups.choices import fill_lists, of_today, presets, read_names
from app.groups.figures import NO_PICTURE, charts, shown_strata
from app.groups.forms import IN_BOTH, ROWS
from app.journal.groups.compared import compare_groups
from app.journal.groups.links import put_groups_under, take_groups_off
from app.journal.questions import open_questions
from app.journal.repeating import beside_a_difference
from app.web import clock
from app.web.as_table import AS, as_table, asked_as_table
from app.web.assets import show_charts
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading, writing

pages = Blueprint("groups", __name__, url_prefix="/groups")

Answer = str | Response | tuple[str, int]
NUMBERS = "numbers"  # whose long table is shown, as charts ask for it
CHANGE = "change"  # the address with this shows the form, filled in
GONE = "These groups cannot be compared any more. Please choose them again."


@pages.get("/")
def index() -> Answer:
    session, forms = reading(), forms_of(request.args)
    if not request.args:
        return _start(session, forms, Asked())
    fine = not [form for form in forms.values() if not form.validate()]  # each says what is wrong
    asked = of_today(session, asked_in(forms, request.args)) if fine else Asked()
    if not fine or asked.trouble:
        return _start(session, forms, asked, asked.trouble if fine else ""), 422
    if CHANGE in request.args:
        return _start(session, forms, asked)
    given = [one for one in request.args.items(multi=True) if one[0] not in (NUMBERS, AS)]
    if said_in(asked) != given:
        return redirect(_address(asked), 303)
    if asked_as_table():
        compared = compare_groups(session, asked.group_a, asked.group_b, rest=asked.rest)
        return as_table("groups-of-cups", GROUP_COLUMNS, grouped_cups(compared))
    return _page(session, asked)


@pages.post("/under")
def put_under() -> Response:
    """Put the comparison of an address under a question, with what is read of it now."""
    asked = asked_of_query(request.form.get("query", ""))
    question_id = number_or_none(request.form.get("question_id"))
    if asked is None or not question_id:
        flash("Please choose a question from the list." if asked else GONE, "error")
        return redirect(url_for(".index") if asked is None else _address(asked), 303)
    session = reading()
    compared = compare_groups(session, asked.group_a, asked.group_b, rest=asked.rest)
    if not any(one.a.count and one.b.count for one in compared.strata):
        flash(
            "There is nothing to put under a question yet: both groups need a scored cup.", "error"
        )
        return redirect(_address(asked), 303)
    said = words.read_today([words.finding(one) for one in compared.strata])
    named = words.in_a_line(asked, read_names(session, asked, formats()), formats())
    try:
        with writing(to=_address(asked)) as session:
            put_groups_under(session, question_id, query_of(asked), named, said, clock.now())
    except LookupError:
        abort(404)
    except ValueError as full:
        flash(str(full), "error")
    else:
        flash("It is under the question now, with what it says today.")
    return redirect(_address(asked), 303)


@pages.post("/<id:link_id>/off")
def take_off(link_id: int) -> Response:
    with writing() as session:
        question_id = take_groups_off(session, link_id) or abort(404)
    flash("It is no longer under the question.")
    return redirect(url_for("questions.show", question_id=question_id), 303)


def _address(asked: Asked) -> str:
    return f"{url_for('groups.index')}?{query_of(asked)}"


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


def _page(session: Session, asked: Asked) -> str:
    names = read_names(session, asked, formats())
    compared = compare_groups(session, asked.group_a, asked.group_b, rest=asked.rest)
    shown = shown_strata(compared, asked.show)
    drawn = charts(shown, formats())
    if drawn:
        show_charts()
    return render_template(
        "groups/show.html",
        said=words.in_words(asked, names, formats()),
        query=query_of(replace(asked, show=None)),
        questions=open_questions(session),
        compared=compared,
        findings=[(one, words.finding(one), balance(one, formats())) for one in compared.strata],
        balance_head=HEAD,
        levels=words.LEVELS,
        limits=words.limits(compared),
        shown=shown,
        charts=drawn,
        no_picture=NO_PICTURE,
        repeats=beside_a_difference(session, dict(words.tasters_of(compared))),
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
