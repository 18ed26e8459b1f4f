"""What goes out as files: whole by themselves, escaped, and safely named."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from flask.testing import FlaskClient
from markdown_it import MarkdownIt

from app.charts.figure import Chart
from app.charts.liking import liking_in_groups
from app.database import Database
from app.readers.markdown import as_markdown, escaped
from app.readers.names_of_files import LONGEST, file_name
from app.readers.plain import as_text
from app.readers.publication import Part, Publication, Table
from tests.support.asking import ask, number, pair, reply, tie
from tests.support.factories import Make

HOSTILE = (
    "<script>alert(1)</script> & \"quoted\" 'single' *stars* _under_ "
    "[link](http://x.example) | pipe"
)
LISTS = (
    "1. first", "- dash", "+ plus", "# head", "> quoted", "===", "---", "    code", "a\tb",
    "`code`", "![x](y)", "~~~", "<b>", "&amp;", "\\", "1) one", "|a|b|", "$x$",
    "Grams: 14.5 g (≈ 15 g).",
)  # fmt: skip


def publication(text: str) -> Publication:
    chart = Chart(
        text, liking_in_groups([(text, [6.0]), ("other", [7.0])]), [text, "n#"], [[text, "1"]]
    )
    part = Part(text, [text], [text], [(text, text)], Table([text, "A"], [[text, text]]))
    return Publication(
        text, f"{text}\nagain\n\nand again", "Evidence", text, [chart], [part], "1 May 2026"
    )


class Outside(HTMLParser):
    """Scripts, handlers, and everything that would be fetched."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            fetched = name in ("src", "href", "action", "data", "poster", "srcset", "xlink:href")
            if (fetched and not (value or "").startswith("#")) or name.startswith("on"):
                self.found.append(f"{tag} {name}={value}")


def answered(client: FlaskClient, make: Make, text: str, answer: str) -> str:
    """A question with a side by side and an answer; the address of its page for readers."""
    question = ask(client, text, factor="steep")
    saved = pair(make, "b", steep_s=200)
    make.tasting(liking=7)
    tie(client, question, "side_by_side", saved)
    reply(client, question, answer)
    return f"/readers/questions/{number(question)}"


def test_the_file_is_whole_by_itself(client: FlaskClient, make: Make) -> None:
    address = answered(client, make, "Longer?", "Yes.")
    text = client.get(f"{address}/file.html").text
    found = Outside()
    found.feed(text)
    assert found.found == []
    assert not {"script", "link", "iframe", "object", "embed", "img", "form", "base"} & set(
        found.tags
    )
    assert "@import" not in text
    assert not re.search(r"url\((?!#|&quot;#|['\"]?data:)", text)
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
    assert f'content="{policy}"' in text.replace("&#39;", "'")
    assert "prefers-color-scheme: dark" in text
    assert "<svg" in text


@pytest.mark.parametrize("path", ["", "/file.html"])
def test_what_was_typed_is_text_everywhere(client: FlaskClient, make: Make, path: str) -> None:
    address = answered(client, make, HOSTILE, f"{HOSTILE}\n</textarea><img src=x onerror=y>")
    text = client.get(f"{address}{path}").text
    assert "<script>alert" not in text
    assert "<img" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text


def test_a_picture_is_a_file_of_its_own(client: FlaskClient, make: Make) -> None:
    address = answered(client, make, "Longer?", "Yes.")
    answer = client.get(f"{address}/picture-1.svg")
    assert answer.mimetype == "image/svg+xml"
    assert answer.text.lstrip().startswith("<svg")
    assert 'xmlns="http://www.w3.org/2000/svg"' in answer.text
    assert "attachment" in answer.headers["Content-Disposition"]
    raster = client.get(f"{address}/picture-1.png")
    assert raster.mimetype == "image/png"
    assert raster.data.startswith(b"\x89PNG")
    assert client.get(f"{address}/picture-0.svg").status_code == 404
    assert client.get(f"{address}/picture-9.svg").status_code == 404
    assert client.get(f"{address}/picture-1.gif").status_code == 404


@pytest.mark.parametrize(
    ("kind", "mimetype"), [("html", "text/html"), ("txt", "text/plain"), ("md", "text/markdown")]
)
def test_a_file_is_saved_under_the_words_of_its_question(
    client: FlaskClient, make: Make, kind: str, mimetype: str
) -> None:
    address = answered(client, make, "Is a longer steep/press “better”?\r\nX: y", "Yes.")
    answer = client.get(f"{address}/file.{kind}")
    assert answer.mimetype == mimetype
    named = f'attachment; filename="is-a-longer-steep-press-better-x-y.{kind}"'
    assert answer.headers["Content-Disposition"] == named


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Wärmer? Café!", "warmer-cafe.txt"),
        ("../../etc/passwd", "etc-passwd.txt"),
        ("…", "answer.txt"),
        ("咖啡", "answer.txt"),
        ("nul", "answer.txt"),
        ("COM1", "answer.txt"),
        ('"; x="y', "x-y.txt"),
    ],
)
def test_names_of_files_are_safe(title: str, name: str) -> None:
    assert file_name(title, "answer", "txt") == name


def test_a_long_name_is_cut_between_words() -> None:
    name = file_name("word " * 90, "answer", "md")
    assert len(name) <= LONGEST + 3
    assert name.endswith("word.md")
    assert len(file_name("w" * 300, "answer", "md")) == LONGEST + 3


@pytest.mark.parametrize("text", [*LISTS, HOSTILE])
def test_markdown_says_what_was_written(text: str) -> None:
    html = _html(escaped(text))
    assert Words.of(html) == " ".join(text.split())
    assert re.findall(r"<(\w+)", html) == ["p"]


class Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @classmethod
    def of(cls, html: str) -> str:
        read = cls()
        read.feed(html)
        return " ".join("".join(read.words).split())


@pytest.mark.parametrize("text", [*LISTS, HOSTILE])
def test_a_whole_publication_keeps_its_shape_in_markdown(text: str) -> None:
    """Whatever the words, headings, lists and tables are those of the publication."""
    shape = re.findall(r"<(\w+)", _html(as_markdown(publication("plain"))))
    assert re.findall(r"<(\w+)", _html(as_markdown(publication(text)))) == shape
    assert {"h1", "h2", "ul", "table", "br"} <= set(shape)


def _html(text: str) -> str:
    return MarkdownIt("commonmark").enable("table").enable("strikethrough").render(text)


def test_text_has_every_part_and_no_marks() -> None:
    text = as_text(publication("Words 14.5\u00a0g"))
    assert text.startswith("Words 14.5 g\n============\n")
    assert "\u00a0" not in text
    assert "Evidence: Words 14.5 g" in text
    assert "- Words 14.5 g. A: Words 14.5 g" in text
    assert text.endswith("Made with Oddcup, 1 May 2026.\n")
    assert not re.search(r"[*`|<>\\]", text)


def test_all_answers_stand_in_one_file_with_their_contents(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    answered(client, make, "First?", "Yes.")
    answered(client, make, "Second?", "No.")
    ask(client, "Open?")
    gone = answered(client, make, "Thrown away?", "No.")
    client.post(f"/questions/{gone.rsplit('/', 1)[1]}/bin")
    text = client.get("/readers/answers/file.html").text
    titles = re.findall(r"<h2>([^<]*\?)</h2>", text)
    assert titles == ["Second?", "First?"]
    for place, title in enumerate(titles, 1):
        assert f'<li><a href="#answer-{place}">{title}</a></li>' in text
        assert f'id="answer-{place}"' in text
    ids = re.findall(r'\sid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    for kind in ("txt", "md"):
        other = client.get(f"/readers/answers/file.{kind}").text
        assert "Open?" not in other
        assert "Thrown away?" not in other
        assert other.index("Second?") < other.index("First?")


def test_the_whole_file_can_be_looked_at_without_being_a_page_of_the_journal(
    client: FlaskClient, make: Make
) -> None:
    answered(client, make, "First?", "Yes.")
    answer = client.get("/readers/answers/file.html?look=1")
    assert "Content-Disposition" not in answer.headers
    policy = answer.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'")
    assert "sandbox" in policy
