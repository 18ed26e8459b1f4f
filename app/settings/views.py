"""One page: units, decimal sign, currency, caffeine."""

from flask import Blueprint, current_app, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.backups.standing import standing
from app.journal.history import Thing
from app.journal.settings import save_settings, settings, wave_first_steps_away
from app.models.settings import SettingsValues
from app.settings.forms import SettingsForm
from app.web import clock
from app.web.changing import edited, noting
from app.web.fields import filled_in
from app.web.household import household
from app.web.session import writing

pages = Blueprint("settings", __name__, url_prefix="/settings")

THE_SETTINGS = Thing("settings", 1)
WAVED_AWAY = "first steps waved away"


@pages.route("/", methods=["GET", "POST"])
def index() -> str | Response | tuple[str, int]:
    edit = edited(SettingsForm(obj=household()), THE_SETTINGS)
    form = edit.opened()
    if request.method != "POST":
        return _page(form)
    if not form.validate():
        return _page(form), 422
    with edit.saving(form, to=url_for(".index")) as session:
        save_settings(session, filled_in(form, SettingsValues))
    flash("Settings saved.")
    return redirect(url_for(".index"), 303)


@pages.post("/first-steps/away")
def wave_away() -> Response:
    """Put the first steps away; the settings, and their earlier versions, bring them back."""
    locale = current_app.config["JOURNAL"].locale
    with writing(to=url_for("today.index")) as session:

        def as_they_stand() -> SettingsForm:
            return SettingsForm(obj=settings(session, locale))

        with noting(session, THE_SETTINGS, WAVED_AWAY, as_they_stand):
            wave_first_steps_away(session, locale)
    flash("The first steps are put away. Settings brings them back.")
    return redirect(url_for("today.index"), 303)


def _page(form: SettingsForm) -> str:
    now, zone = clock.now(), clock.browser_zone()
    backups = standing(current_app.config["JOURNAL"], now)
    return render_template("settings/index.html", form=form, backups=backups, now=now, zone=zone)
