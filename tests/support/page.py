"""Reading a page as a browser would: its text, and its forms with what they hold."""

from __future__ import annotations

from html.parser import HTMLParser

Values = dict[str, list[str]]
SPACELESS = ("script", "style", "template")


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[dict[str, str], Values]] = []
        self.words: list[str] = []
        self._hidden = 0
        self._textarea: str | None = None
        self._select: str | None = None
        self._first_option: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self._hidden += tag in SPACELESS
        if tag == "form":
            self.forms.append((given, {}))
        elif tag == "input":
            self._input(given)
        elif tag == "textarea":
            self._textarea = given.get("name")
            self._keep(self._textarea, "")
        elif tag == "select":
            self._select, self._first_option = given.get("name"), None
        elif tag == "option" and self._select:
            self._option(given)

    def handle_endtag(self, tag: str) -> None:
        self._hidden -= tag in SPACELESS
        if tag == "textarea":
            self._textarea = None
        elif tag == "select":
            if self._select and self._first_option is not None:
                self._keep(self._select, self._first_option)
            self._select = None

    def handle_data(self, data: str) -> None:
        if self._textarea and self.forms:
            held = self.forms[-1][1][self._textarea]
            held[-1] += data.removeprefix("\r\n")
        elif not self._hidden and data.strip():
            self.words.append(" ".join(data.split()))

    def _input(self, given: dict[str, str]) -> None:
        kind = given.get("type", "text")
        ticks = kind in ("radio", "checkbox")
        if kind not in ("file", "submit") and (not ticks or "checked" in given):
            self._keep(given.get("name"), given.get("value", "on" if ticks else ""))

    def _option(self, given: dict[str, str]) -> None:
        value = given.get("value", "")
        if "selected" in given:
            self._keep(self._select, value)
            self._first_option, self._select = None, None
        elif self._first_option is None:
            self._first_option = value

    def _keep(self, name: str | None, value: str) -> None:
        if name and self.forms:
            self.forms[-1][1].setdefault(name, []).append(value)


def read(html: str) -> _Reader:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader


def text(html: str) -> str:
    """What the page says, spaces made one."""
    return " ".join(read(html).words)


def form(html: str, *, holding: str) -> Values:
    """What the page's form with a field named `holding` would send as it stands."""
    for _, values in read(html).forms:
        if holding in values:
            return {name: list(held) for name, held in values.items()}
    raise AssertionError(f"No form with a field {holding!r} on this page.")


def filled(html: str, *, holding: str, **typed: str | list[str] | None) -> Values:
    """The form with some of its fields typed over; None leaves a field out."""
    values = form(html, holding=holding)
    for name, value in typed.items():
        if value is None:
            values.pop(name, None)
        else:
            values[name] = value if isinstance(value, list) else [value]
    return values
