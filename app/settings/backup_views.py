"""Backups: how old, where, made by hand, checked and restored. On this machine only."""

from flask import Blueprint, abort, current_app, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.backups.checks import CouldNotLook, check_journal
from app.backups.copying import back_up
from app.backups.folders import all_backups, choose, on_the_same_disk, place
from app.backups.names import Backup
from app.backups.record import record_of
from app.backups.standing import brews_not_in, contents_of, standing
from app.config import Config
from app.settings.forms import BackupFolderForm
from app.settings.restoring import restore_here
from app.settings.words import label_in_words
from app.trouble import in_words
from app.web import clock

pages = Blueprint("backups", __name__, url_prefix="/settings/backups")

Answer = str | Response | tuple[str, int]
TROUBLE = (RuntimeError, OSError, ValueError, CouldNotLook)


@pages.get("/")
def index() -> Answer:
    config = _config()
    journal = config.sqlite_path
    form = BackupFolderForm(data={"folder": record_of(journal).folder if journal else ""})
    return _index(config, form)


@pages.post("/now")
def back_up_now() -> Response:
    try:
        made = back_up(_config())
    except TROUBLE as error:
        flash(in_words(error), "error")
    else:
        flash(f"Backed up and checked: {made}" if made else "Nothing was backed up.")
    return redirect(url_for(".index"), 303)


@pages.post("/folder")
def choose_folder() -> Answer:
    config, form = _config(), BackupFolderForm(request.form)
    journal = config.sqlite_path or abort(404)
    if form.validate():
        try:
            choose(journal, form.folder.data or "")
        except ValueError as error:
            form.folder.errors = [str(error)]
        else:
            flash("Backups go there from now on.")
            return redirect(url_for(".index"), 303)
    return _index(config, form), 422


@pages.post("/check")
def check() -> Answer:
    try:
        outcomes = check_journal(_config())
    except TROUBLE as error:
        flash(in_words(error), "error")
        return redirect(url_for(".index"), 303)
    return render_template("settings/check.html", outcomes=outcomes)


@pages.get("/<name>")
def show(name: str) -> str:
    config = _config()
    backup = _find(config, name)
    journal = config.sqlite_path or abort(404)
    return render_template(
        "settings/backup.html",
        backup=backup,
        label=label_in_words(backup),
        contents=contents_of(backup.path),
        now=contents_of(journal),
        brews_lost=brews_not_in(backup, journal),
        journal=journal,
        zone=clock.browser_zone(),
    )


@pages.post("/<name>/restore")
def restore(name: str) -> Response:
    config = _config()
    backup = _find(config, name)
    try:
        kept = restore_here(config, config.sqlite_path or abort(404), backup.path)
    except TROUBLE as error:
        flash(in_words(error), "error")
        return redirect(url_for(".show", name=name), 303)
    flash(f"Restored. The journal as it was before is kept as {kept}" if kept else "Restored.")
    return redirect(url_for(".index"), 303)


def _index(config: Config, form: BackupFolderForm) -> str:
    journal = config.sqlite_path
    if journal is None:
        return render_template("settings/backups_elsewhere.html")
    here = place(config, record_of(journal))
    backups = [
        (backup, label_in_words(backup), contents_of(backup.path))
        for backup in all_backups(config, journal)
    ]
    return render_template(
        "settings/backups.html",
        form=form,
        standing=standing(config, clock.now()),
        place=here,
        same_disk=on_the_same_disk(here.folder, journal),
        backups=backups,
        now=clock.now(),
        zone=clock.browser_zone(),
    )


def _find(config: Config, name: str) -> Backup:
    """By its name in the list only, so that an address names no other file."""
    journal = config.sqlite_path or abort(404)
    return next(
        (each for each in all_backups(config, journal) if each.name == name), None
    ) or abort(404)


def _config() -> Config:
    config: Config = current_app.config["JOURNAL"]
    return config
