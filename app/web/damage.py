"""Looking the journal over once a day, and the page that tells what was found."""

import shlex
from datetime import date
from threading import Event, Lock, Thread
from time import sleep

from flask import Flask, current_app, g, render_template, request

from app.config import Config
from app.database import Database
from app.health import Health, look
from app.web import clock
from app.web.household import SILENT

FIRST_PAGE_S = 3.0
WAIT_S = 1.0  # a page waits no longer for the check; on a large journal it goes on without


class Watch:
    """What is known of one journal's file. What was found stays until Oddcup is started again."""

    def __init__(self, config: Config, journal: Database) -> None:
        self.health: Health | None = None
        self.day: date | None = None
        self._config = config
        self._journal = journal
        self._one = Lock()
        self._looking = Lock()

    def opened(self, day: date) -> None:
        """It was looked over as it was opened: the longer check follows the first page."""
        self.day = day
        Thread(target=self._look_longer, daemon=True).start()

    def look_if_due(self, day: date) -> None:
        """At the first page after the start, and at the first of each day."""
        with self._one:
            if self.day != day:
                self.day = day
                self.look_now()

    def look_now(self) -> Health | None:
        """Look; what is found after WAIT_S, or by the longer check, counts from then on."""
        if self.health is None:
            known = Event()
            Thread(target=self._look, args=(known,), daemon=True).start()
            known.wait(WAIT_S)
        return self.health

    def _look(self, known: Event) -> None:
        if not self._looking.acquire(blocking=False):
            return
        try:
            self._note(look(self._config))
            known.set()
            self._note(look(self._config, whole=True))
        finally:
            known.set()
            self._looking.release()

    def _look_longer(self) -> None:
        sleep(FIRST_PAGE_S)
        with self._looking:
            self._note(look(self._config, whole=True))

    def _note(self, health: Health | None) -> None:
        if health and self.health is None:
            self.health = health
            self._journal.only_read(log=health.reads_log)


def watch() -> Watch:
    own: Watch = current_app.extensions["oddcup_watch"]
    return own


def watch_journal(app: Flask) -> None:
    app.before_request(_look_once_a_day)
    app.add_url_rule("/journal-file", "journal_file", journal_file)


def journal_file() -> tuple[str, int]:
    """What is damaged, what can be read, and how to restore; or that nothing was found."""
    health = watch().health
    page = render_template(
        "trouble/journal_file.html", health=health, day=watch().day, **restoring(health)
    )
    return page, 200 if health is None else 503


def restoring(health: Health | None) -> dict[str, str]:
    """The commands that help, for the journal's own machine."""
    config: Config = current_app.config["JOURNAL"]
    if health is None or not g.get("here") or config.sqlite_path is None:
        return {"restore": "", "leave_log_out": ""}
    journal = str(config.sqlite_path)
    restore = ["oddcup", "--journal", journal, "restore", str(health.backup or "BACKUP")]
    aside = ["mv", journal + "-wal", journal + "-wal.damaged"]
    return {
        "restore": shlex.join(restore),
        "leave_log_out": shlex.join(aside) if health.without_log else "",
    }


def _look_once_a_day() -> None:
    if request.endpoint in SILENT:
        return
    watch().look_if_due(clock.now().date())
    g.damaged = watch().health is not None
