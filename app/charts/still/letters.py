"""How wide words are, without a browser: average widths of upright sans-serif letters, in em."""

from html import escape, unescape

NARROW_LETTERS = frozenset("iljtfrI.,:;'|!()[]1·")
WIDE_LETTERS = frozenset("mwMWOQGDNHU%@—&→")
EM_NARROW, EM_USUAL, EM_WIDE, EM_ELSEWHERE = 0.34, 0.57, 0.86, 1.0
LATIN_ENDS = 0x0500  # letters of other scripts may be as wide as high
SIZE = 12.0
SLIM = 0.75  # of a picture's width: words have room on phones of 320 px, too
LINE = 1.25  # from one line to the next, in em
BREAK = "<br>"
SPACES = "\u00a0\u2002\u202f\u2060\u200b\u200e\u200f"


def width(text: str, size: float = SIZE) -> float:
    """Pixels that the longest of a text's lines takes; some are kept in reserve."""
    return max((sum(map(_em, line)) for line in text.split(BREAK)), default=0.0) * size


def _em(letter: str) -> float:
    if letter in NARROW_LETTERS:
        return EM_NARROW
    if letter in WIDE_LETTERS:
        return EM_WIDE
    return EM_USUAL if ord(letter) < LATIN_ENDS or letter in "–−\u2002 " else EM_ELSEWHERE


def lines(text: str) -> int:
    return text.count(BREAK) + 1


def wrapped(text: str, room: float, size: float = SIZE) -> str:
    """The text in lines of at most `room` pixels, parted at spaces, wherever it was before."""
    done: list[str] = []
    for word in text.replace(BREAK, " ").split(" "):
        if done and width(f"{done[-1]} {word}", size) <= room:
            done[-1] += f" {word}"
        else:
            done.append(word)
    return BREAK.join(done)


def label(text: str, room: float, most: int = 2) -> str:
    """A name beside an axis: in so many lines at most, cut where they have no room."""
    rows = wrapped(text, room).split(BREAK)
    rows[most - 1 :] = [" ".join(rows[most - 1 :])]
    return BREAK.join(cut(row, room) for row in rows if row)


def cut(text: str, room: float) -> str:
    if width(text) <= room:
        return text
    while text and width(f"{text}…") > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def literal(text: str) -> str:
    """Text of which Plotly takes nothing for markup but a line's end."""
    return BREAK.join(escape(line, quote=False) for line in text.split(BREAK))


def plain(text: str) -> str:
    """Such text for a picture. What no file of XML may hold is left out."""
    kept = "".join(letter for letter in unescape(text) if letter.isprintable() or letter in SPACES)
    return escape(kept)
