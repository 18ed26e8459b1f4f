"""Text prepared for searching, and made safe to normalise."""

import unicodedata
from functools import lru_cache

MOST_MARKS = 30


def search_text(*texts: str) -> str:
    """The texts joined, with case, accents and compatibility forms (NFKD) folded away."""
    joined = " ".join(texts)
    if joined.isascii():
        return joined.lower()
    folded = unicodedata.normalize("NFKD", few_marks(joined.casefold()))
    return "".join(c for c in folded if not unicodedata.combining(c))


def few_marks(text: str) -> str:
    """At most 30 combining marks in a row, as in the stream-safe format of UAX 15.

    No language needs more. Normalising puts n of them in order in n * n steps: minutes for 1 MB.
    """
    run, kept = 0, []
    for char in text:
        run = run + 1 if _is_mark(char) else 0
        if run <= MOST_MARKS:
            kept.append(char)
    return "".join(kept)


@lru_cache(maxsize=4096)
def _is_mark(char: str) -> bool:
    """Whether nothing but combining marks is left of it by any of Unicode's normal forms."""
    return all(unicodedata.combining(part) for part in unicodedata.normalize("NFKD", char))
