"""The first page, the list of all places, the bin, and the way to the demo household."""

from datetime import datetime
from typing import NamedTuple

from flask import Blueprint, current_app, render_template, request, url_for

from app.backups.standing import standing
from app.config import Config
from app.journal.bags import weighed_bags
from app.journal.blind.open import due
from app.journal.brews import newest_ids, read_brews
from app.journal.experiments.reading import factors_of, waiting
from app.journal.habits import other_habit
from app.journal.on_hand import on_hand
from app.journal.sittings.reading import under_way
from app.journal.sittings.standing import standing as standing_of
from app.journal.sittings.titles import next_in_words
from app.journal.told import told_apart
from app.today import queries
from app.today.binned import BinnedRow, binned_from, binned_page
from app.today.words import KINDS, habit_in_words, in_words, run_in_words
from app.web import clock
from app.web.formats import formats
from app.web.household import household
from app.web.session import reading

pages = Blueprint("today", __name__)


@pages.get("/")
def index() -> str:
    session = reading()
    brews = read_brews(session, newest_ids(session, queries.SHOWN))
    first = queries.first_steps(session) if household().first_steps else {}
    if not brews:
        config: Config = current_app.config["JOURNAL"]
        return render_template("today/first.html", first=first, config=config)
    day = clock.today()
    other = other_habit(session, brews[0].row.id)
    opened = under_way(session, 1)
    sitting = standing_of(session, opened[0], clock.now()) if opened else None
    runs = waiting(session)
    factors = factors_of(session, [run.experiment_id for run in runs]) if runs else {}
    return render_template(
        "today/index.html",
        runs=[(run, run_in_words(run, factors[run.experiment_id], formats())) for run in runs],
        day=day,
        now=clock.now(),
        zone=clock.browser_zone(),
        backups=standing(current_app.config["JOURNAL"], clock.now()),
        due=due(session),
        sitting=sitting,
        sitting_next=next_in_words(sitting) if sitting else "",
        last=brews[0],
        other=other,
        other_said=habit_in_words(other, formats()) if other else "",
        first={} if all(first.values()) else first,
        brews=brews,
        told=told_apart(session, [brew.row for brew in brews], formats()),
        untasted=[b for b in brews if b.row.liking is None and (day - b.row.brewed_on).days <= 1],
        bag=weighed_bags(session, [brews[0].row.bag_id])[0],
        papers=queries.papers_to_check(on_hand(session), day),
    )


@pages.get("/more")
def more() -> str:
    return render_template("today/more.html")


class InBin(NamedTuple):
    """A thing in the bin as its page shows it: the URLs of its own page and of the way back.

    `device` is "" for this computer, and None where it was not noted.
    """

    words: str
    kind: str
    binned_at: datetime
    device: str | None
    page: str
    restore: str


@pages.get("/bin")
def bin() -> str:
    session = reading()
    page = binned_page(session, request.args)
    devices = binned_from(session, page.rows)
    things = [_in_bin(row, devices.get((row.kind, row.id))) for row in page.rows]
    return render_template("today/bin.html", page=page, things=things, zone=clock.browser_zone())


def _in_bin(row: BinnedRow, device: str | None) -> InBin:
    kind = KINDS[row.kind]
    page, restore = (
        url_for(endpoint, **{argument: getattr(row, field) for argument, field in ids.items()})
        for endpoint, ids in ((kind.page, kind.page_ids), (kind.restore, kind.restore_ids))
    )
    return InBin(in_words(row, formats()), kind.name, row.binned_at, device, page, restore)


@pages.post("/demo")
def demo() -> str:
    return render_template("today/demo.html", port=current_app.extensions["oddcup_open_demo"]())
