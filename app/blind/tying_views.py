"""The brews a finished trial was poured from: their card, tying a logged one, untying it."""

from collections.abc import Mapping
from dataclasses import dataclass

from flask import flash, request, url_for
from werkzeug.wrappers import Response

from app.blind.pages import brews_in_words, pages, to_trial, trial_or_404
from app.journal.blind import tying
from app.journal.blind.poured_from import OtherTrial, TrialBrews, brewed_like, nearby, same_as
from app.sensory.terms import Letter, letter_or_none
from app.web import clock
from app.web.fields import number_or_none
from app.web.session import reading, writing

NONE_SAME = "There is no other trial from the same pair with brews to take over."


@pages.post("/trials/<id:trial_id>/brews")
def tie_brew(trial_id: int) -> Response:
    """Tie a brew that was logged already."""
    trial_or_404(reading(), trial_id)
    brew_id = number_or_none(request.form.get("brew_id")) or 0
    cup = letter_or_none(request.form.get("cup"))
    with writing(to=_page_of(trial_id)) as session:
        refused = tying.tie(session, trial_id, cup, brew_id)
    return _back(trial_id, refused)


@pages.post("/trials/<id:trial_id>/brews/same")
def tie_same_brews(trial_id: int) -> Response:
    """Tie the brews that another trial of the sitting was poured from."""
    trial_or_404(reading(), trial_id)
    with writing(to=_page_of(trial_id)) as session:
        tied = tying.tie_same(session, trial_id)
    return _back(trial_id, None if tied else NONE_SAME)


@pages.post("/trials/<id:trial_id>/brews/<id:brew_id>/untie")
def untie_brew(trial_id: int, brew_id: int) -> Response:
    trial_or_404(reading(), trial_id)
    with writing(to=_page_of(trial_id)) as session:
        tying.untie(session, trial_id, brew_id)
    return _back(trial_id, None)


def _page_of(trial_id: int) -> str:
    return url_for(".trial", trial_id=trial_id)


def _back(trial_id: int, refused: str | None) -> Response:
    if refused:
        flash(refused, "error")
    return to_trial(trial_id)


@dataclass(frozen=True, slots=True)
class BrewsCard:
    """What a trial was poured from, the words for a brew by its id, and ways to fill the gaps.

    `offered` are brews that may be tied, `log` is the query of the URL at which to log a cup's
    brew, `same` another trial whose brews can be taken over.
    """

    poured: TrialBrews
    names: Mapping[int, str]
    offered: list[int]
    log: Mapping[Letter, Mapping[str, object]]
    same: OtherTrial | None


def brews_card(brews: TrialBrews) -> BrewsCard:
    """The card of a trial's brews."""
    session = reading()
    offered = nearby(session, brews) if brews.missing else []
    like = brewed_like(session, brews.test) if brews.missing else {}
    return BrewsCard(
        poured=brews,
        names=brews_in_words(session, [*brews.brew_ids, *offered]),
        offered=offered,
        log={cup: _start(brews, cup, like.get(cup)) for cup in brews.missing},
        same=same_as(session, brews),
    )


def _start(brews: TrialBrews, cup: Letter, like: int | None) -> dict[str, object]:
    """What the brew form starts from, as it stands in its address."""
    served = clock.wall_time(brews.trial.served_at, clock.browser_zone())
    query = {
        "trial_id": brews.trial.id,
        "cup": cup,
        "brewed_at": f"{served:%Y-%m-%dT%H:%M}",
        "like": like,
        "recipe": getattr(brews.test, f"{cup.lower()}_revision_id"),
        "filter_1": getattr(brews.test, f"{cup.lower()}_filter_id"),
    }
    return {name: value for name, value in query.items() if value is not None}
