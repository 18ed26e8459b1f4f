"""The sentences of the pages of names."""

from app.journal.names.listing import NameKind
from app.models import NameChange

HEADS: dict[str, str] = {"taster": "Tasters", "bean": "Beans", "roaster": "Roasters"}
CHOOSE = "Please choose one from the list."
ITSELF = "That is the same one. Please choose another."
GONE = "It is not there any more under that name. Please look again."
WAS = "Somebody renamed it meanwhile: it is called {now}. Please look again."
SAME = "That is its name already."
WHAT_MOVES: dict[NameKind, str] = {
    "taster": "Its tastings go over. A blind test keeps its sealed record, and shows the new name.",
    "bean": "Its bags go over, with their brews. What is noted of the other bean stays.",
    "roaster": "Its beans go over.",
}


def said(change: NameChange) -> str:
    if change.what == "renamed":
        return f"{change.old_name} is called {change.new_name}"
    return f"{change.old_name} is one with {change.new_name}"


def done(change: NameChange) -> str:
    """What a tap did, and that it can be undone."""
    return f"{said(change)}. It can be taken back below."
