"""Pages for readers: an answer, a side by side, a bag, and all answers, to look at and to save."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.models import Bag, Question
from app.readers import files, queries
from app.readers.publication import Publication
from app.readers.ticks import LABELS, Ticks
from app.web import clock
from app.web.formats import formats
from app.web.session import reading

pages = Blueprint("readers", __name__, url_prefix="/readers")

Answer = str | Response

FILE = "file.<any(html, txt, md):kind>"
PICTURE = "picture-<int:place>.<any(svg, png):kind>"
PICTURE_KINDS = ("svg", "png")
SAVE = {"html": "Save as one file", "txt": "Save as text", "md": "Save as Markdown"}
PASTE = {"txt": "Text to paste", "md": "Markdown to paste"}
ALL_TITLE = "Questions and answers"


@dataclass(frozen=True, slots=True)
class Shared:
    """A publication, the endpoint of its page with its numbers, and where it came from."""

    publication: Publication
    endpoint: str
    numbers: Mapping[str, int]
    back: str
    back_words: str
    fallback: str


@pages.get("/questions/<id:answered_id>")
def question(answered_id: int) -> Answer:
    return _page(_question(answered_id))


@pages.get(f"/questions/<id:answered_id>/{FILE}")
def question_file(answered_id: int, kind: str) -> Answer:
    return _file(_question(answered_id), kind)


@pages.get(f"/questions/<id:answered_id>/{PICTURE}")
def question_picture(answered_id: int, place: int, kind: str) -> Answer:
    return _picture(_question(answered_id), place, kind)


@pages.get("/side-by-side/<id:brew_a>/<id:brew_b>")
def pair(brew_a: int, brew_b: int) -> Answer:
    return _page(_pair(brew_a, brew_b))


@pages.get(f"/side-by-side/<id:brew_a>/<id:brew_b>/{FILE}")
def pair_file(brew_a: int, brew_b: int, kind: str) -> Answer:
    return _file(_pair(brew_a, brew_b), kind)


@pages.get(f"/side-by-side/<id:brew_a>/<id:brew_b>/{PICTURE}")
def pair_picture(brew_a: int, brew_b: int, place: int, kind: str) -> Answer:
    return _picture(_pair(brew_a, brew_b), place, kind)


@pages.get("/bags/<id:bag_id>")
def bag(bag_id: int) -> Answer:
    return _page(_bag(bag_id))


@pages.get(f"/bags/<id:bag_id>/{FILE}")
def bag_file(bag_id: int, kind: str) -> Answer:
    return _file(_bag(bag_id), kind)


@pages.get(f"/bags/<id:bag_id>/{PICTURE}")
def bag_picture(bag_id: int, place: int, kind: str) -> Answer:
    return _picture(_bag(bag_id), place, kind)


@pages.get("/answers")
def answers() -> str:
    """All answers in one file: their list, and what goes out with them."""
    args: dict[str, Any] = {"by": _order(), **_ticks().args}
    return render_template(
        "readers/answers.html",
        rows=queries.answered(reading(), _order()),
        title=ALL_TITLE,
        orders=queries.ORDERS.items(),
        by=_order(),
        ticks=_choices(),
        left_out=_ticks().left_out,
        back=url_for("questions.index"),
        back_words="Back to the questions",
        files=[
            (words, url_for(".answers_file", kind=kind, **args)) for kind, words in SAVE.items()
        ],
        look=url_for(".answers_file", kind="html", look=1, **args),
        most=queries.MOST_ANSWERS,
    )


@pages.get(f"/answers/{FILE}")
def answers_file(kind: str) -> Answer:
    from app.readers.answers import answer_of

    session, day = reading(), formats().day(clock.today())
    rows = queries.answered(session, _order())
    each = [
        answer_of(session, session.get_one(Question, row.id), _ticks(), formats(), clock.now(), day)
        for row in rows
    ]
    text = files.WRITERS_OF_ALL[kind](ALL_TITLE, each, f"Made with Oddcup, {day}.")
    return files.saved(text, ALL_TITLE, "answers", kind, look="look" in request.args)


def _question(question_id: int) -> Shared:
    """Only what has an answer, and is not in the bin, goes out."""
    from app.readers.answers import answer_of

    session = reading()
    asked = session.get(Question, question_id) or abort(404)
    back = url_for("questions.show", question_id=question_id)
    if asked.state != "answered" or asked.binned_at:
        flash("There is a page for readers once the question has an answer.", "error")
        abort(redirect(back, 303))
    day = formats().day(clock.today())
    made = answer_of(session, asked, _ticks(), formats(), clock.now(), day)
    numbers = {"answered_id": question_id}
    return Shared(made, "readers.question", numbers, back, "Back to the question", "answer")


def _pair(brew_a: int, brew_b: int) -> Shared:
    from app.readers.pairs import pair_of

    day = formats().day(clock.today())
    made = pair_of(reading(), brew_a, brew_b, _ticks(), formats(), day) or abort(404)
    numbers = {"brew_a": brew_a, "brew_b": brew_b}
    back = url_for("side_by_side.show", brew_a=brew_a, brew_b=brew_b)
    return Shared(made, "readers.pair", numbers, back, "Back to the two cups", "two-cups")


def _bag(bag_id: int) -> Shared:
    from app.readers.bags import bag_of

    session = reading()
    of = session.get(Bag, bag_id) or abort(404)
    if of.binned_at:
        abort(404)
    made = bag_of(session, of, _ticks(), formats(), formats().day(clock.today()))
    back = url_for("bags.show", bag_id=bag_id)
    return Shared(made, "readers.bag", {"bag_id": bag_id}, back, "Back to the bag", "bag")


def _page(shared: Shared) -> str:
    made, ticks = shared.publication, _ticks()
    drawn = files.drawn(made)

    def address(part: str, **more: str | int) -> str:
        values: dict[str, Any] = {**shared.numbers, **more, **ticks.args}
        return url_for(f"{shared.endpoint}{part}", **values)

    return render_template(
        "readers/show.html",
        shown=made,
        drawn=drawn,
        ticks=_choices(),
        left_out=ticks.left_out,
        back=shared.back,
        back_words=shared.back_words,
        files=[(words, address("_file", kind=kind)) for kind, words in SAVE.items()],
        pictures=[
            (chart.title, [(k, address("_picture", place=n, kind=k)) for k in PICTURE_KINDS])
            for n, (_, chart, _) in enumerate(drawn, 1)
        ],
        texts=[(words, files.WRITERS[kind](made)) for kind, words in PASTE.items()],
    )


def _file(shared: Shared, kind: str) -> Response:
    made = shared.publication
    look = "look" in request.args
    return files.saved(files.WRITERS[kind](made), made.title, shared.fallback, kind, look=look)


def _picture(shared: Shared, place: int, kind: str) -> Response:
    pictures = shared.publication.pictures
    if not 1 <= place <= len(pictures):
        abort(404)
    return files.saved_picture(pictures[place - 1], kind)


def _ticks() -> Ticks:
    return Ticks.of(request.args)


def _choices() -> list[tuple[str, str, bool]]:
    """The ticks as the page shows them: name, words, whether ticked."""
    return [(name, words, getattr(_ticks(), name)) for name, words in LABELS.items()]


def _order() -> str:
    wanted = request.args.get("by", "")
    return wanted if wanted in queries.ORDERS else next(iter(queries.ORDERS))
