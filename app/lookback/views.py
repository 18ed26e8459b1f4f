"""Looking back: the calendar of a year, a month in numbers, bags beside each other, best cups."""

from calendar import isleap
from datetime import date

from flask import Blueprint, render_template, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.gear import pick_list
from app.journal.lookback.bags import BAGS_A_PAGE, bags_before, cups_of, scores_of_year
from app.journal.lookback.best import MOST_SHOWN, best_cups
from app.journal.lookback.days import brews_a_day, years
from app.journal.lookback.months import month_of
from app.journal.scores import OneTaster, of_one_taster
from app.journal.tastings import tasters
from app.lookback import pictures, words
from app.lookback.as_table import BEST_COLUMNS
from app.lookback.calendar import FIRST, LAST, month_before, month_table, span_of
from app.lookback.choices import beans
from app.lookback.forms import BestForm
from app.models import Brewer
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.assets import show_charts
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading

pages = Blueprint("lookback", __name__, url_prefix="/looking-back")

MOST_YEARS = 3


@pages.get("/")
def index() -> str:
    session, known = reading(), years(reading())
    year = _year(known[1] if known else clock.today().year)
    brews = brews_a_day(session, year)
    return render_template(
        "lookback/index.html",
        year=year,
        known=known,
        brews=sum(brews.values()),
        days=len(brews),
        days_a_year=366 if isleap(year) else 365,
        months=[month_table(year, month, brews) for month in range(1, 13)],
        names=words.MONTHS,
    )


@pages.get("/month")
def month() -> str:
    session, today, zone = reading(), clock.today(), clock.browser_zone()
    year = _year(today.year)
    number = number_or_none(request.args.get("month"))
    number = number if number and 1 <= number <= 12 else today.month
    earlier = month_before(year, number)
    span, name = span_of(year, number), words.MONTHS[earlier[1] - 1]
    now, then = (month_of(session, of, zone) for of in (span, span_of(*earlier)))
    later = (year, number + 1) if number < 12 else (year + 1, 1)
    return render_template(
        "lookback/month.html",
        title=f"{words.MONTHS[number - 1]} {year}",
        span=span,
        year=year,
        running=span.holds(today),
        to_come=today < span.first,
        earlier=earlier if earlier[0] >= FIRST else None,
        later=later if date(*later, 1) <= today else None,
        before=name,
        names=words.MONTHS,
        lines=words.lines(now, then, name, formats()),
        means=words.means(now.means, then.means, name, formats()),
        spared=words.spared(now, formats()),
        spared_before=words.spared(then, formats()),
        empty=not (now.brews or now.tasted or now.opened or now.finished or now.tests_ended),
    )


@pages.get("/bags")
def bags() -> str:
    along = request.args.get("along", "")
    along = along if along in words.ALONG else "rest"
    taster = number_or_none(request.args.get("taster"))
    session = reading()
    return _seasons(session, taster) if along == "season" else _bags(session, along, taster)


@pages.get("/best")
def best() -> str | Response | tuple[str, int]:
    session, form = reading(), BestForm(request.args)
    form.taster.pick_from(tasters(session, form.taster.data), none="any")
    form.brewer.pick_from(pick_list(session, Brewer, form.brewer.data), none="any")
    form.bean.pick_from(beans(session, form.bean.data), none="any")
    fine = form.validate()
    if fine and asked_as_table():
        return as_table("best-cups", BEST_COLUMNS, best_cups(session, form.sought()))
    page = render_template(
        "lookback/best.html",
        form=form,
        asked=any(field.data for field in form),
        most=MOST_SHOWN,
        best=best_cups(session, form.sought()) if fine else [],
    )
    return page if fine else (page, 422)


def _year(otherwise: int) -> int:
    asked = number_or_none(request.args.get("year"))
    return asked if asked and FIRST <= asked <= LAST else otherwise


def _bags(session: Session, along: str, taster: int | None) -> str:
    found = bags_before(session, number_or_none(request.args.get("before")))
    shown = found[:BAGS_A_PAGE]
    cups = cups_of(session, shown)
    scores = [score for own in cups.values() for cup in own for score in cup.scores]
    scored = of_one_taster(scores, taster)
    drawn = pictures.of_bags(shown, cups, scored, along)
    return _pictures(
        along,
        scored,
        drawn=[one for one in drawn if one.figure],
        few=[one for one in drawn if not one.figure],
        older=shown[-1].id if len(found) > BAGS_A_PAGE else None,
    )


def _seasons(session: Session, taster: int | None) -> str:
    known = years(session)
    last = _year(known[1]) if known else 0
    shown = list(range(last, max(last - MOST_YEARS, known[0] - 1), -1)) if known else []
    by_year = {year: scores_of_year(session, year) for year in shown}
    counts: dict[tuple[int, str], int] = {}
    for one in (score for of in by_year.values() for score in of):
        who = (one.taster_id, one.taster_name)
        counts[who] = counts.get(who, 0) + one.n
    listed = sorted(counts, key=lambda who: who[1])
    most = max(counts, key=lambda who: counts[who], default=(None, ""))
    chosen = next((who for who in listed if who[0] == taster), most)
    drawn = [(year, *pictures.of_year(of, chosen[0])) for year, of in by_year.items()]
    return _pictures(
        "season",
        OneTaster(chosen[0], chosen[1], (), listed),
        years=drawn,
        older=shown[-1] - 1 if known and shown and shown[-1] > known[0] else None,
    )


def _pictures(along: str, scored: OneTaster, **shown: object) -> str:
    show_charts(live=False)
    return render_template(
        "lookback/bags.html",
        along=along,
        ways=words.ALONG,
        scored=scored,
        no_cause=words.NO_CAUSE,
        none_yet=words.NONE_YET,
        least=words.LEAST_DRAWN,
        before=request.args.get("before"),
        **{"drawn": (), "few": (), "years": (), "older": None} | shown,
    )
