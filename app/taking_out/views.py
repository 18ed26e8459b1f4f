"""In and out: the whole journal as a data package, a package looked at and brought in, and what
came in taken back."""

from __future__ import annotations

import tempfile
from pathlib import Path

from flask import (
    Blueprint,
    abort,
    current_app,
    flash,
    redirect,
    render_template,
    request,
    send_file,
    url_for,
)
from werkzeug.wrappers import Response

from app.config import MAX_REQUEST_BYTES, MAX_REQUEST_MB, Config
from app.exchange.archive import opened
from app.exchange.coming_in import CameIn, Tried, bring_in, remember_open_tests
from app.exchange.going_out import write_package
from app.exchange.merging import NEW
from app.exchange.problems import Refused
from app.exchange.sealed import left_behind
from app.exchange.words import LEFT_OUT, difference, name, whose
from app.journal.imports.identity import named
from app.journal.imports.reading import import_row, latest_imports
from app.journal.imports.taking_back import StillNeeded, take_back
from app.taking_out import keeping, words
from app.taking_out.forms import BringInForm, PackageForm
from app.web import clock
from app.web.bodies import takes_up_to
from app.web.session import database, reading, writing

pages = Blueprint("taking_out", __name__, url_prefix="/in-and-out")

Answer = str | Response | tuple[str, int]


@pages.get("/")
def index() -> Answer:
    return _index(PackageForm())


@pages.post("/package")
def take_out() -> Response:
    """The whole journal as a file."""
    with writing(keyed=False) as session:
        uuid = named(session)
    now, config = clock.now(), _config()
    file = tempfile.TemporaryFile(dir=config.home)  # noqa: SIM115 - closed with the response
    write_package(reading(), uuid, file, now)
    file.seek(0)
    called = f"oddcup-journal-{clock.today()}.zip"
    answer = send_file(file, "application/zip", as_attachment=True, download_name=called)
    answer.call_on_close(file.close)
    return answer


def too_large() -> Answer:
    form = PackageForm()
    form.package.errors = [words.TOO_LARGE]
    return _index(form), 413


@pages.post("/")
@takes_up_to(MAX_REQUEST_BYTES, too_large)
def look() -> Answer:
    """What a package would bring; nothing is changed."""
    form, upload = PackageForm(), request.files.get("package")
    if upload is None or not upload.filename:
        form.package.errors = [words.NO_FILE]
        return _index(form), 422
    try:
        with opened(upload.stream) as archive, writing(keyed=False) as session:
            raise Tried(bring_in(session, archive, upload.filename))
    except Refused as refused:
        form.package.errors = [refused.why, *(one.sentence for one in refused.problems)]
        return _index(form), 422
    except Tried as tried:
        came = tried.came
    upload.stream.seek(0)
    kept = keeping.keep(_config(), upload)
    return _looked_at(came, BringInForm(data={"kept": kept, "file_name": upload.filename}))


@pages.post("/bring-in")
def bring() -> Answer:
    form, config = BringInForm(request.form), _config()
    path = keeping.kept(config, form.kept.data or "")
    if path is None:
        flash(words.AWAY, "error")
        return redirect(url_for(".index"), 303)
    try:
        came = _bring(path, form)
    except Refused as refused:
        flash(refused.why, "error")
        return redirect(url_for(".index"), 303)
    remember_open_tests(database(), config, came, clock.now())
    keeping.forget(config, form.kept.data or "")
    flash(words.NOTHING_NEW if came.import_id is None else _brought(came))
    return redirect(url_for(".index"), 303)


def _bring(path: Path, form: BringInForm) -> CameIn:
    with path.open("rb") as file, opened(file) as archive, writing(to=url_for(".index")) as session:
        named_file = form.file_name.data or path.name
        return bring_in(session, archive, named_file, theirs=form.keep.data == "theirs")


@pages.post("/look-away")
def look_away() -> Response:
    keeping.forget(_config(), request.form.get("kept", ""))
    flash("The package was put aside; nothing was changed.")
    return redirect(url_for(".index"), 303)


@pages.post("/<id:import_id>/take-back")
def take_import_back(import_id: int) -> Answer:
    if import_row(reading(), import_id) is None:
        abort(404)
    try:
        with writing(to=url_for(".index")) as session:
            done = take_back(session, import_id, clock.now())
    except StillNeeded as needed:
        return _index(PackageForm(), words.hindrances(needed.hindrances), needed=True), 409
    flash(words.TAKEN_BACK if done else words.GONE, "" if done else "error")
    return redirect(url_for(".index"), 303)


def _brought(came: CameIn) -> str:
    new = {table: counts[NEW] for table, counts in came.counts.items() if counts.get(NEW)}
    return words.BROUGHT.format(words.counts_in_words(new))


def _looked_at(came: CameIn, form: BringInForm) -> str:
    return render_template(
        "taking_out/look.html",
        form=form,
        came=came,
        whose=whose(came),
        rows=[
            (
                name(table),
                *(str(counts.get(kind, 0)) for kind in ("new", "same", "differs", "left")),
            )
            for table, counts in came.counts.items()
            if any(counts.values())
        ],
        differing=[difference(row) for row in came.differing],
        left_out=LEFT_OUT.format(came.left) if came.left else "",
    )


def _index(form: PackageForm, hindrances: list[str] | None = None, *, needed: bool = False) -> str:
    session = reading()
    return render_template(
        "taking_out/index.html",
        form=form,
        most_mb=MAX_REQUEST_MB,
        sealed=left_behind(session, clock.now()),
        imports=[(row, words.came_in(row)) for row in latest_imports(session)],
        hindrances=hindrances or [],
        needed=(words.NEEDED if hindrances else words.NEEDED_UNNAMED) if needed else "",
        zone=clock.browser_zone(),
    )


def _config() -> Config:
    config: Config = current_app.config["JOURNAL"]
    return config
