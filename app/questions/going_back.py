"""Where a tap of a list leads back to: the sheet it was made on, a question, or a thing."""

from collections.abc import Mapping
from dataclasses import dataclass

from flask import request, url_for

from app.journal.questions import Kind
from app.models import SideBySide
from app.web.fields import number_or_none
from app.web.session import reading


@dataclass(frozen=True, slots=True)
class Place:
    """A sheet of the inbox, of the asks that lie below a number where `before` is given."""

    number: int = 1
    before: int | None = None

    def address(self) -> str:
        sheet = self.number if self.number > 1 else None
        return url_for("asks.index", before=self.before, sheet=sheet)

    def newer(self) -> str:
        """The sheet in front of it; before the first of older asks stands the whole inbox."""
        if self.number > 1:
            return Place(self.number - 1, self.before).address()
        return Place().address() if self.before else ""

    def older(self, sheets: int, below: int | None) -> str:
        if self.number < sheets:
            return Place(self.number + 1, self.before).address()
        return Place(before=below).address() if below else ""


def place_of(given: Mapping[str, str]) -> Place:
    number, before = number_or_none(given.get("sheet")), number_or_none(given.get("before"))
    return Place(number or 1, before)


def sheet_again(of: str, question_id: int) -> str:
    """The sheet of a question's pieces, from the place that its form names."""
    address = url_for(f"pieces.{of}", question_id=question_id)
    start = number_or_none(request.form.get("from"))
    return f"{address}?from={start}" if start else address


def back_to(question_id: int | None, thing: tuple[Kind, int] | None) -> str:
    """The page to return to: the question's, else the thing's, else the list."""
    if question_id:
        return url_for("questions.show", question_id=question_id)
    kind, row_id = thing or ("", 0)
    if kind == "brew":
        return url_for("brews.show", brew_id=row_id)
    if kind == "blind_test":
        return url_for("blind.show", test_id=row_id)
    saved = reading().get(SideBySide, row_id) if kind == "side_by_side" else None
    if saved is not None:
        return url_for("side_by_side.show", brew_a=saved.brew_a_id, brew_b=saved.brew_b_id)
    return url_for("questions.index")
