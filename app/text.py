"""Text prepared for searching."""

import unicodedata


def search_text(*texts: str) -> str:
    """The texts joined, with case, accents and compatibility forms (NFKD) folded away."""
    joined = " ".join(texts)
    if joined.isascii():
        return joined.lower()
    folded = unicodedata.normalize("NFKD", joined.casefold())
    return "".join(c for c in folded if not unicodedata.combining(c))
