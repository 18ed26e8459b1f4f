"""Text as it is searched."""

from __future__ import annotations

import unicodedata


def search_text(*texts: str) -> str:
    """What is searched in and for: case folded, compatible forms and accents made one."""
    joined = " ".join(texts)
    if joined.isascii():
        return joined.lower()
    folded = unicodedata.normalize("NFKD", joined.casefold())
    return "".join(c for c in folded if not unicodedata.combining(c))
