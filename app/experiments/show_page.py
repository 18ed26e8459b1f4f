"""The page of one experiment: the next brew, how far it is, what it found."""

from flask import render_template, url_for
from sqlalchemy.orm import Session

from app.experiments import words
from app.experiments.found import HEAD, found
from app.journal.experiments.reading import ExperimentRow
from app.journal.experiments.settings import settings_at
from app.journal.experiments.standing import Standing, standing
from app.web import clock
from app.web.assets import show_charts
from app.web.brew_url import as_typed
from app.web.formats import formats


def show_page(session: Session, row: ExperimentRow) -> str:
    of = standing(session, row)
    read = found(of, formats())
    if read.chart:
        show_charts()
    return render_template(
        "experiments/show.html",
        row=row,
        of=of,
        named=words.named(of.factors),
        spans=words.spans(of.factors, formats()),
        progress=words.progress(of),
        next_settings=words.settings(of.next, formats()) if of.next else "",
        brewed_today=of.day_of_last() == clock.today(),
        runs=[(run, words.run_in_words(run, formats())) for run in of.runs],
        read=read,
        head=HEAD,
        try_url=_pair_url(of, read.to_try) if read.to_try else "",
        order=words.ORDER,
    )


def _pair_url(of: Standing, to_try: dict[str, float]) -> str:
    """The form of two cups: A in the middle, B where the surface is highest."""
    middle = settings_at(of.factors, [0.0] * len(of.factors))
    typed = {f"a-{name}": as_typed(name, value) for name, value in middle.items()}
    typed |= {f"b-{name}": as_typed(name, value) for name, value in to_try.items()}
    own = {"like": of.row.like_id, "bag": of.row.bag_id, "recipe": of.row.revision_id}
    return url_for("two_cups.new", **{k: v for k, v in own.items() if v}, **typed)  # type: ignore[arg-type]
