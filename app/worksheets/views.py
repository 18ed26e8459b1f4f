"""The list of worksheets, and a page for each."""

from collections.abc import Callable

from flask import Blueprint, render_template, request

from app.models.settings import CAFFEINE_LIMITS
from app.web.assets import show_charts
from app.web.household import household
from app.web.session import reading
from app.worksheets.page import BY_NAME, SHEETS, FormT, Reply, Worked, reply, sheet_page
from app.worksheets.queries import to_start_from
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
from app.worksheets.start import SheetContext, open_context

pages = Blueprint("worksheets", __name__, url_prefix="/worksheets")


@pages.get("")
def index() -> str:
    return render_template("worksheets/index.html", sheets=SHEETS)


def _add(
    name: str,
    form_of: type[FormT],
    work: Callable[[FormT, SheetContext], Worked],
    *,
    charts: bool = False,
) -> None:
    """The page of a worksheet; the answer of one that starts from a brew can be kept, too."""

    def page() -> Reply:
        if charts:
            show_charts()
        return sheet_page(name, form_of, work)

    methods = ["GET", "POST"] if BY_NAME[name].from_brew else ["GET"]
    pages.add_url_rule(f"/{name}", name, page, methods=methods)


_add("scale", ScaleForm, scaled)
_add("share", ShareForm, shared_out)
_add("dilute", DiluteForm, diluted)
_add("ice", IceForm, iced, charts=True)
_add("strength", StrengthForm, aimed)
_add("strong", StrongForm, compared)
_add("time", TimeForm, steeped, charts=True)
_add("paper", PaperForm, filtered)
_add("water", WaterForm, watered)


@pages.get(f"/<any({', '.join(sheet.name for sheet in SHEETS if sheet.from_brew)}):name>/from")
def other_start(name: str) -> str:
    """The recipes and brews that a worksheet can start from."""
    return render_template(
        "worksheets/from.html", sheet=BY_NAME[name], offered=to_start_from(reading())
    )


@pages.get("/caffeine")
def caffeine() -> Reply:
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
    values = what_is_learned(reading())
    if values.misses:
        show_charts()
    return render_template("worksheets/learned.html", sheet=BY_NAME["learned"], values=values)
