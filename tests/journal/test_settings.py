"""Settings are saved from plain values, without a page."""

from __future__ import annotations

from app.database import Database
from app.journal.settings import save_settings, settings
from app.models.settings import SettingsValues


def test_what_was_chosen_last_is_what_is_read(journal: Database) -> None:
    with journal.write_session() as session, session.begin():
        assert settings(session, "de").locale == "de"
        save_settings(session, SettingsValues(mass_unit="oz", caffeine=True))
        save_settings(session, SettingsValues(mass_unit="oz", temp_unit="°F"))
    with journal.read_session() as session:
        chosen = settings(session, "de")
        assert (chosen.locale, chosen.mass_unit, chosen.temp_unit) == ("en", "oz", "°F")
        assert not chosen.caffeine
