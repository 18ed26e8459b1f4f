"""Publications as files: one HTML file that needs nothing else, text, Markdown, and pictures."""

from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path

from flask import Response, current_app, render_template
from markupsafe import Markup

from app.charts.figure import Chart
from app.readers.markdown import as_markdown, escaped
from app.readers.names_of_files import attachment, file_name
from app.readers.plain import as_text
from app.readers.publication import Publication
from app.web.lean import lean_css
from app.web.pictures import picture, picture_file, picture_png

Drawn = list[tuple[str, Chart, Markup]]

SHEETS = ("tokens", "charts", "readers")
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
# Opened where the journal is, it may not even run as a page of it.
LOOKED_AT = f"{POLICY}; sandbox; frame-ancestors 'none'"
TYPES = {"html": "text/html", "txt": "text/plain", "md": "text/markdown"}


def drawn(publication: Publication, start: str = "picture") -> Drawn:
    """Its pictures for a page, in the colours of the page; `start` begins their names."""
    named = [(f"{start}-{place}", chart) for place, chart in enumerate(publication.pictures, 1)]
    return [(name, chart, picture(chart.figure, name, chart.title).svg) for name, chart in named]


# Marks that turn the direction of all that follows in their line; words need none to be read
# from right to left (Unicode's UAX 9).
TURNING = dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A)))


def as_html(publication: Publication) -> str:
    """One page."""
    return _page(publication.title, [(publication, drawn(publication))], publication.footer)


def all_as_html(title: str, publications: Sequence[Publication], footer: str) -> str:
    """All of them in one file, with their contents in front."""
    each = [(one, drawn(one, f"picture-{place}")) for place, one in enumerate(publications, 1)]
    return _page(title, each, footer, contents=True)


def all_as_text(title: str, publications: Sequence[Publication], footer: str) -> str:
    line = "\n" + "-" * 60 + "\n\n"
    return line.join([f"{title}\n\n{footer}\n", *(as_text(one) for one in publications)])


def all_as_markdown(title: str, publications: Sequence[Publication], footer: str) -> str:
    head = f"# {escaped(title)}\n\n*{escaped(footer)}*\n"
    return "\n".join([head, *(as_markdown(one, level=2) for one in publications)])


WRITERS: dict[str, Callable[[Publication], str]] = {
    "html": as_html, "txt": as_text, "md": as_markdown,
}  # fmt: skip
WRITERS_OF_ALL: dict[str, Callable[[str, Sequence[Publication], str], str]] = {
    "html": all_as_html, "txt": all_as_text, "md": all_as_markdown,
}  # fmt: skip


def saved(text: str, title: str, fallback: str, ending: str, *, look: bool = False) -> Response:
    """A file to save, or with `look` to be looked at in the browser."""
    answer = Response(text.translate(TURNING), mimetype=TYPES[ending])
    answer.headers["Content-Security-Policy"] = LOOKED_AT
    if not look:
        answer.headers["Content-Disposition"] = attachment(file_name(title, fallback, ending))
    return answer


def saved_picture(chart: Chart, kind: str) -> Response:
    """A picture by itself: SVG in both themes, PNG in the light one."""
    made: str | bytes
    made, mimetype = picture_file(chart.figure, chart.title), "image/svg+xml"
    if kind == "png":
        made, mimetype = picture_png(chart.figure, chart.title), "image/png"
    answer = Response(made, mimetype=mimetype)
    answer.headers["Content-Disposition"] = attachment(file_name(chart.title, "picture", kind))
    return answer


def _page(
    title: str, each: Sequence[tuple[Publication, Drawn]], footer: str, *, contents: bool = False
) -> str:
    return render_template(
        "readers/file.html",
        title=title,
        each=each,
        footer=footer,
        contents=contents,
        policy=POLICY,
        style=_style(str(current_app.static_folder)),
    )


@lru_cache(1)
def _style(static: str) -> Markup:
    """The sheets that a page for readers takes, in one element."""
    sheets = [Path(static) / "css" / f"{name}.css" for name in SHEETS]
    lean = "\n".join(lean_css(sheet.read_text(encoding="utf-8")) for sheet in sheets)
    return Markup(f"<style>{lean}</style>")  # noqa: S704  our own sheets
