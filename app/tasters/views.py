"""The page of the tasters."""

from flask import Blueprint, render_template

from app.web.session import reading

pages = Blueprint("tasters", __name__, url_prefix="/tasters")


@pages.get("/")
def index() -> str:
    from app.journal.agreeing import tasters_agree
    from app.journal.repeating import own_repeats
    from app.tasters import words

    session = reading()
    agreeing, repeats = tasters_agree(session), own_repeats(session)
    return render_template(
        "tasters/index.html",
        tasters=[
            (name, count, words.repeats(repeats.get(taster_id)))
            for taster_id, name, count in agreeing.scores
        ],
        pairs=[(pair, words.agreement(pair)) for pair in agreeing.pairs],
        together=agreeing.together,
        together_said=words.together(agreeing.together) if agreeing.together else [],
        whole=agreeing.whole,
    )
