"""Why a line of a sitting is skipped."""

from wtforms import Form

from app.models.base import WORDS_CHARS
from app.web.fields import LineField


class SkipForm(Form):
    why = LineField("Why it is skipped", longest=WORDS_CHARS, required=True)
