"""Names of the files that go out: words of the title, safe on every disk and in every header."""

import re

from app.text import search_text

LONGEST = 60
# Names that no file may have on Windows.
DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)")


def file_name(title: str, fallback: str, ending: str) -> str:
    """
    >>> file_name("Does a warmed mug/jug help?", "answer", "html")
    'does-a-warmed-mug-jug-help.html'
    >>> file_name("???", "answer", "txt"), file_name("Con", "answer", "md")
    ('answer.txt', 'answer.md')
    """
    folded = re.sub(r"[^a-z0-9]+", "-", search_text(title)[: 4 * LONGEST]).strip("-")
    if len(folded) > LONGEST:
        folded = folded[:LONGEST].rpartition("-")[0] or folded[:LONGEST]
    return f"{fallback if not folded or DEVICES.fullmatch(folded) else folded}.{ending}"


def attachment(name: str) -> str:
    """The header by which a browser saves a file under this name."""
    return f'attachment; filename="{name}"'
