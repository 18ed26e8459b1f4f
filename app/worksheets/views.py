"""The list of worksheets, and a page for each.

It imports its own sums: nobody waits for those of all while the journal is opened.
"""

from flask import Blueprint, render_template, request

from app.models.settings import CAFFEINE_LIMITS
from app.web.assets import show_charts
from app.web.household import household
from app.web.session import reading
from app.worksheets.page import BY_NAME, SHEETS, Reply, reply, sheet_page
from app.worksheets.queries import to_start_from
from app.worksheets.start import open_context

pages = Blueprint("worksheets", __name__, url_prefix="/worksheets")
# The answer of one that starts from a brew can be kept, too.
KEPT = ["GET", "POST"]


@pages.get("")
def index() -> str:
    return render_template("worksheets/index.html", sheets=SHEETS)


@pages.route("/scale", methods=KEPT)
def scale() -> Reply:
    from app.worksheets.sheets.scale import ScaleForm, scaled

    return sheet_page("scale", ScaleForm, scaled)


@pages.route("/share", methods=KEPT)
def share() -> Reply:
    from app.worksheets.sheets.share import ShareForm, shared_out

    return sheet_page("share", ShareForm, shared_out)


@pages.route("/dilute", methods=KEPT)
def dilute() -> Reply:
    from app.worksheets.sheets.dilute import DiluteForm, diluted

    return sheet_page("dilute", DiluteForm, diluted)


@pages.route("/ice", methods=KEPT)
def ice() -> Reply:
    from app.worksheets.sheets.ice import IceForm, iced

    show_charts()
    return sheet_page("ice", IceForm, iced)


@pages.route("/strength", methods=KEPT)
def strength() -> Reply:
    from app.worksheets.sheets.strength import StrengthForm, aimed

    return sheet_page("strength", StrengthForm, aimed)


@pages.route("/strong", methods=KEPT)
def strong() -> Reply:
    from app.worksheets.sheets.strong import StrongForm, compared

    return sheet_page("strong", StrongForm, compared)


@pages.route("/time", methods=KEPT)
def time() -> Reply:
    from app.worksheets.sheets.time import TimeForm, steeped

    show_charts()
    return sheet_page("time", TimeForm, steeped)


@pages.get("/paper")
def paper() -> Reply:
    from app.worksheets.sheets.paper import PaperForm, filtered

    return sheet_page("paper", PaperForm, filtered)


@pages.get("/water")
def water() -> Reply:
    from app.worksheets.sheets.water import WaterForm, watered

    return sheet_page("water", WaterForm, watered)


@pages.get(f"/<any({', '.join(sheet.name for sheet in SHEETS if sheet.from_brew)}):name>/from")
def other_start(name: str) -> str:
    """The recipes and brews that a worksheet can start from."""
    return render_template(
        "worksheets/from.html", sheet=BY_NAME[name], offered=to_start_from(reading())
    )


@pages.get("/caffeine")
def caffeine() -> Reply:
    from app.worksheets.sheets.caffeine import day_of, rows_of_today, share_form

    session, house = reading(), household()
    if not house.caffeine:
        return render_template("worksheets/caffeine_off.html", sheet=BY_NAME["caffeine"])
    show_charts()
    context = open_context(session, request.args)
    before, rows = rows_of_today(session)
    expecting = house.caffeine_limit != CAFFEINE_LIMITS[0]
    form = share_form(rows, expecting)
    return reply(
        "caffeine", context, form, lambda: day_of(form, before, rows, context.learned, expecting)
    )


@pages.get("/learned")
def learned() -> str:
    from app.worksheets.sheets.learned import what_is_learned

    values = what_is_learned(reading())
    if values.misses:
        show_charts()
    return render_template("worksheets/learned.html", sheet=BY_NAME["learned"], values=values)
