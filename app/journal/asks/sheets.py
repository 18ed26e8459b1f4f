"""The inbox on sheets that load quickly: groups stay whole, asks that are alone follow."""

from dataclasses import dataclass, field

from app.journal.asks.inbox import Inbox, Together
from app.journal.asks.reading import AskRow

# Bytes of a sheet beside its head, and of what stands on it beside the words of the asks.
ROOM = 30_000
GROUP, GROUPED, ALONE, FORM_OF_ALONE, CHOICE = 1_500, 310, 480, 900, 95


@dataclass(slots=True)
class Sheet:
    together: list[Together] = field(default_factory=list)
    alone: list[AskRow] = field(default_factory=list)
    room: int = ROOM


def sheets_of(inbox: Inbox, choices: int) -> list[Sheet]:
    """At least one; `choices` are the questions that the form of those alone offers."""
    sheets = [Sheet()]
    for group in inbox.together:
        size = GROUP + sum(GROUPED + len(ask.text) for ask in group.asks)
        if size > sheets[-1].room and sheets[-1].together:
            sheets.append(Sheet())
        sheets[-1].room -= size
        sheets[-1].together.append(group)
    form = FORM_OF_ALONE + CHOICE * choices
    for ask in inbox.alone:
        size = ALONE + len(ask.text)
        if sheets[-1].room < size + (0 if sheets[-1].alone else form):
            sheets.append(Sheet())
        sheets[-1].room -= size + (0 if sheets[-1].alone else form)
        sheets[-1].alone.append(ask)
    return sheets
