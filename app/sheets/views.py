"""An old spreadsheet: sent, its columns matched and its lines looked at on one page, brought in."""

from __future__ import annotations

import tempfile
from pathlib import Path

from flask import (
    Blueprint,
    abort,
    current_app,
    flash,
    g,
    redirect,
    render_template,
    request,
    url_for,
)
from werkzeug.wrappers import Response

from app.config import MAX_REQUEST_BYTES, MAX_REQUEST_MB, Config
from app.journal.imports.reading import import_row, keys_of
from app.models import Bag, Brew
from app.sheets import keeping, words
from app.sheets.choosing import chosen
from app.sheets.forms import SheetForm
from app.sheets.looking import look, shown
from app.sheets.queries import MOST_BAGS, bags_of
from app.sheets.showing import kept_page
from app.sheets.writing import AT_ONCE, begin
from app.spreadsheet.grids import TOO_LARGE, Unreadable
from app.spreadsheet.saving import save_sheet
from app.text import few_marks
from app.web import clock
from app.web.bodies import takes_up_to
from app.web.session import database, reading, saved_at, writing

pages = Blueprint("sheets", __name__, url_prefix="/sheets")

Answer = str | Response | tuple[str, int]


@pages.get("/")
def index() -> str:
    return render_template("sheets/index.html", form=SheetForm(), most_mb=MAX_REQUEST_MB)


def too_large() -> Answer:
    form = SheetForm()
    form.sheet.errors = [TOO_LARGE]
    return _refused(form, 413)


@pages.post("/")
@takes_up_to(MAX_REQUEST_BYTES + 64 * 1024, too_large)
def send() -> Answer:
    """Keep what is in the file, and look at it; nothing is written into the journal."""
    form, upload, config = SheetForm(), request.files.get("sheet"), _config()
    if upload is None or not upload.filename:
        form.sheet.errors = [words.NO_FILE]
    else:
        try:
            with tempfile.NamedTemporaryFile(dir=config.home, prefix="sheet-") as file:
                upload.save(file)
                file.flush()
                name = _file_name(upload.filename)
                number = keeping.keep(config, Path(file.name), name, clock.browser_zone())
            return redirect(url_for(".show", upload_id=number), 303)
        except Unreadable as refused:
            form.sheet.errors = [refused.why]
    return _refused(form, 422)


def _refused(form: SheetForm, status: int) -> Answer:
    page = render_template("sheets/index.html", form=form, most_mb=MAX_REQUEST_MB)
    return page, status


def _file_name(sent: str) -> str:
    """Its last part, whatever system it comes from, without marks that nobody sees."""
    last = sent.replace("\\", "/").rstrip("/").rsplit("/", 1)[-1]
    return few_marks("".join(char for char in last if char.isprintable()))[:120] or "sheet"


@pages.get("/<id:upload_id>")
def show(upload_id: int) -> Answer:
    coming = keeping.is_coming(_config(), upload_id)
    done = keeping.progress(_config(), upload_id)
    if done and (coming or done.import_id):
        return redirect(url_for(".coming", upload_id=upload_id), 303)
    kept = _kept(upload_id)
    return kept_page(upload_id, kept, keeping.grids(_config(), upload_id))


@pages.post("/<id:upload_id>")
def choose(upload_id: int) -> Answer:
    """Take what was chosen and mended, and look again; or bring in what was shown."""
    kept, config = _kept(upload_id), _config()
    if "sheet" in request.form and request.form["sheet"] != str(kept.sheet):
        sheet = request.form["sheet"]
        other = int(sheet) if sheet.isdecimal() and len(sheet) < 4 else kept.sheet
        kept = keeping.choose_sheet(config, upload_id, kept, other)
    else:
        kept = chosen(kept, request.form, keeping.grids(config, upload_id)[kept.sheet])
    keeping.save(config, upload_id, kept)
    return redirect(url_for(".show", upload_id=upload_id), 303)


@pages.post("/<id:upload_id>/bring-in")
def bring_in(upload_id: int) -> Answer:
    kept, config = _kept(upload_id), _config()
    grid = keeping.grids(config, upload_id)[kept.sheet]
    seen = look(reading(), grid, kept, clock.now())
    if request.form.get("shown") != shown(kept) or not seen.is_ready:
        flash(words.CHANGED if seen.is_ready else words.NO_BREWS, "error")
        return redirect(url_for(".show", upload_id=upload_id), 303)
    if len(seen.brews) > AT_ONCE:
        device = g.get("device")
        named = device.name if device else ""
        begin(config, database(), upload_id, kept, seen, clock.now(), clock.today(), named)
        return redirect(url_for(".coming", upload_id=upload_id), 303)
    with writing() as session:
        import_id = save_sheet(
            session, seen.brews, kept.matching, kept.file_name, kept.zone, clock.today()
        )
        saved_at(session, url_for(".came_in", import_id=import_id))
    keeping.forget(config, upload_id)
    return redirect(url_for(".came_in", import_id=import_id), 303)


@pages.get("/<id:upload_id>/progress")
def coming(upload_id: int) -> Answer:
    """How far the writing is; the page asks for `state`, and looks again when it has changed."""
    config = _config()
    coming = keeping.is_coming(config, upload_id)
    done = keeping.progress(config, upload_id)
    state = f"{10 * done.saved // done.of}" if coming and done else "over"
    if "state" in request.args:
        return state
    if done is None:
        _kept(upload_id)
        return redirect(url_for(".show", upload_id=upload_id), 303)
    if done.import_id is not None:
        keeping.forget(config, upload_id)
        return redirect(url_for(".came_in", import_id=done.import_id), 303)
    if not coming or done.why:
        flash(done.why or words.STOPPED, "error")
        return redirect(url_for(".show", upload_id=upload_id), 303)
    return render_template("sheets/coming.html", done=done, upload_id=upload_id, state=state)


@pages.get("/came-in/<id:import_id>")
def came_in(import_id: int) -> str:
    session = reading()
    row = import_row(session, import_id)
    if row is None or row.kind != "sheet":
        abort(404)
    new = keys_of(session, import_id, Bag.__tablename__)
    return render_template(
        "sheets/came_in.html", row=row, bags=bags_of(session, new), more=len(new[MOST_BAGS:]),
        brews=len(keys_of(session, import_id, Brew.__tablename__)),
    )  # fmt: skip


@pages.post("/<id:upload_id>/put-aside")
def put_aside(upload_id: int) -> Response:
    _kept(upload_id)
    if keeping.is_coming(_config(), upload_id):
        return redirect(url_for(".coming", upload_id=upload_id), 303)
    keeping.forget(_config(), upload_id)
    flash("The sheet was put aside; nothing was changed.")
    return redirect(url_for(".index"), 303)


def _kept(upload_id: int) -> keeping.State:
    kept = keeping.state(_config(), upload_id)
    if kept is None:
        abort(404, words.AWAY)
    return kept


def _config() -> Config:
    config: Config = current_app.config["JOURNAL"]
    return config
