"""Names of the household in what it writes itself, which goes out as it stands."""

import re

from sqlalchemy import select, union
from sqlalchemy.orm import Session

from app.models import Bean, Brewer, FilterPack, Grinder, Recipe, Taster, Water
from app.text import search_text

NAMES = (Taster.name, Brewer.name, Grinder.name, Water.name, Bean.name, Bean.roaster, Recipe.name,
    FilterPack.name)  # fmt: skip


def names_in(session: Session, text: str) -> list[str]:
    """Names of people, beans and gear that stand in a text as whole words, in order of the text."""
    folded = search_text(text)
    found: dict[str, int] = {}
    for name in session.scalars(union(*(select(column) for column in NAMES))):
        wanted = search_text(name).strip()
        if not wanted or wanted not in folded:  # thousands of names, of which a text holds a few
            continue
        if at := re.search(rf"(?<!\w){re.escape(wanted)}(?!\w)", folded):
            found[name] = at.start()
    return sorted(found, key=lambda name: (found[name], name))
