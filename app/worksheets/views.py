"""The list of worksheets, and a page for each."""

from flask import Blueprint, render_template, request

from app.models.settings import CAFFEINE_LIMITS
from app.web.household import household
from app.web.security import allow_charts
from app.web.session import reading
from app.worksheets.context import open_context
from app.worksheets.page import Reply, reply, sheet_page
from app.worksheets.sheets.caffeine import day_of, rows_of_today, share_form
from app.worksheets.sheets.dilute import DiluteForm, diluted
from app.worksheets.sheets.ice import IceForm, iced
from app.worksheets.sheets.learned import what_is_learned
from app.worksheets.sheets.paper import PaperForm, filtered
from app.worksheets.sheets.scale import ScaleForm, scaled
from app.worksheets.sheets.share import ShareForm, shared_out
from app.worksheets.sheets.strength import StrengthForm, aimed
from app.worksheets.sheets.strong import StrongForm, compared
from app.worksheets.sheets.time import TimeForm, steeped
from app.worksheets.sheets.water import WaterForm, watered
from app.worksheets.words import BY_NAME, SHEETS

pages = Blueprint("worksheets", __name__, url_prefix="/worksheets")

ASK, ASK_AND_KEEP = ["GET"], ["GET", "POST"]


@pages.get("")
def index() -> str:
    return render_template("worksheets/index.html", sheets=SHEETS)


@pages.route("/scale", methods=ASK_AND_KEEP)
def scale() -> Reply:
    return sheet_page("scale", ScaleForm, scaled)


@pages.route("/share", methods=ASK_AND_KEEP)
def share() -> Reply:
    return sheet_page("share", ShareForm, shared_out)


@pages.route("/dilute", methods=ASK_AND_KEEP)
def dilute() -> Reply:
    return sheet_page("dilute", DiluteForm, diluted)


@pages.route("/ice", methods=ASK_AND_KEEP)
def ice() -> Reply:
    allow_charts()
    return sheet_page("ice", IceForm, iced)


@pages.route("/strength", methods=ASK_AND_KEEP)
def strength() -> Reply:
    return sheet_page("strength", StrengthForm, aimed)


@pages.route("/strong", methods=ASK_AND_KEEP)
def strong() -> Reply:
    return sheet_page("strong", StrongForm, compared)


@pages.route("/time", methods=ASK_AND_KEEP)
def time() -> Reply:
    allow_charts()
    return sheet_page("time", TimeForm, steeped)


@pages.route("/caffeine", methods=ASK)
def caffeine() -> Reply:
    session = reading()
    house = household()
    if not house.caffeine:
        return render_template("worksheets/caffeine_off.html", sheet=BY_NAME["caffeine"])
    allow_charts()
    context = open_context(session, request.args)
    before, rows = rows_of_today(session)
    form = share_form(rows)
    expecting = house.caffeine_limit != CAFFEINE_LIMITS[0]
    return reply(
        "caffeine", context, form, lambda: day_of(form, before, rows, context.learned, expecting)
    )


@pages.route("/paper", methods=ASK)
def paper() -> Reply:
    return sheet_page("paper", PaperForm, filtered)


@pages.route("/water", methods=ASK)
def water() -> Reply:
    return sheet_page("water", WaterForm, watered)


@pages.get("/learned")
def learned() -> str:
    allow_charts()
    values = what_is_learned(reading())
    return render_template("worksheets/learned.html", sheet=BY_NAME["learned"], values=values)
