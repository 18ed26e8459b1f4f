"""One page: units, decimal sign, currency, caffeine."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.journal.settings import save_settings
from app.models.settings import SettingsValues
from app.settings.forms import SettingsForm
from app.web.fields import filled_in
from app.web.household import household
from app.web.session import writing

pages = Blueprint("settings", __name__, url_prefix="/settings")


@pages.get("/")
def index() -> str:
    return render_template("settings/index.html", form=SettingsForm(obj=household()))


@pages.post("/")
def save() -> Response | tuple[str, int]:
    form = SettingsForm(request.form)
    if not form.validate():
        return render_template("settings/index.html", form=form), 422
    with writing() as session:
        save_settings(session, filled_in(form, SettingsValues))
    flash("Settings saved.")
    return redirect(url_for("settings.index"), 303)
