"""What a page may be sent by a slip, a broken program or an enemy."""

from __future__ import annotations

from urllib.parse import quote_from_bytes

from hypothesis import strategies as st

Sent = list[tuple[str, str]]

# A name, a note or a word could be this; on the page it must be these very characters.
MARKUP = "<script>a=1</script>\"'><img src=x onerror=alert(1)>{{7*7}}</textarea></title>"
LONG = "ab " * 4000
NASTY = (
    "", " ", "0", "-1", "1", "2", "3.5", "1e400", "1e-400", "nan", "inf", "-inf", "1_000", "0x10",
    "٣", "１２", "½", "1,5", "1.5.5", "1,000.5", "--1", "+", ".", ",", "9" * 400, "-" + "9" * 400,
    "999999999", "1000000000", "2147483648", "9223372036854775808", "None", "null", "true", "[]",
    "fresh:1", "fresh:999999999", "fresh:٣", "on", "off", "\x00", "a\x00b", "\x1b[2J", "\r\n\r\n",
    "\ud800", "a\udfffb", "\ufeff", "\u202eevil\u202c", "👩‍🔬☕", "e" + "\u0301" * 300, "ﷺ" * 200,
    "'; DROP TABLE brew; --", "\" OR 1=1 --", "%", "%s", "%(id)s", "_", "\\", "{{7*7}}", "${7*7}",
    "<script>alert(1)</script>", "../../etc/passwd", "//evil.example", "javascript:alert(1)",
    "2026-02-30", "2026-13-01T00:00", "0000-00-00", "9999-12-31T23:59", "1969-12-31T23:59",
    "2026-03-29T02:30", "2026-03-05T07:30+99:00", "2026-W10-4", "20260305", "25:61", "1:2:3:4",
    "Mars/Phobos", "../../../etc/localtime", "fine", "medium", "paper", "EUR", "eur", "💶",
    LONG,
)  # fmt: skip
NAMES = ("", "id", "csrf_token", "__class__", "entry_key", "note", "before", "after", "q", "[]")

values = st.one_of(
    st.sampled_from(NASTY),
    st.sampled_from(NASTY),
    st.text(max_size=40),
    st.floats().map(str),
    st.integers().map(str),
)
marks = st.builds("{}-{}".format, st.integers(0, 10**18), st.integers(0, 10**10))


@st.composite
def fillings(draw: st.DrawFn, offered: dict[str, list[str]]) -> Sent:
    """A form mostly as a page offers it, with fields spoiled, left out, sent twice, made up."""
    sent: Sent = []
    for name, held in offered.items():
        fate = draw(st.sampled_from(("kept", "kept", "kept", "spoiled", "left out", "doubled")))
        if fate in ("kept", "doubled"):
            sent += [(name, value) for value in held]
        if fate in ("spoiled", "doubled"):
            sent.append((name, draw(values)))
    for name in draw(st.lists(st.sampled_from(NAMES), max_size=2)):
        sent.append((name, draw(values)))
    return draw(st.permutations(sent)) if draw(st.booleans()) else sent


@st.composite
def queries(draw: st.DrawFn, names: list[str]) -> Sent:
    chosen = draw(st.lists(st.sampled_from([*names, *NAMES]), max_size=4))
    return [(name, draw(st.one_of(values, marks))) for name in chosen]


def encoded(sent: Sent) -> str:
    """As a browser encodes a form, halves of surrogates too, which no browser would send."""
    return "&".join(f"{_quoted(name)}={_quoted(value)}" for name, value in sent)


def _quoted(text: str) -> str:
    return quote_from_bytes(text.encode("utf-8", "surrogatepass"), safe="")
