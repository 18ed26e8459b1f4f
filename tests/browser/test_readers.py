"""The file for readers: saved with two taps, and opened from disk without network or script."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from playwright.sync_api import Browser, Page, expect

from app import create_app
from app.models import Question, QuestionBrew
from tests.support.accessible import grave
from tests.support.asking import ask, number, reply, tie
from tests.support.browser import DESKTOP, PHONE, visit, window
from tests.support.clock import NOON
from tests.support.demo import demo_in
from tests.support.factories import Make
from tests.support.fits import misfits
from tests.support.server import served

pytestmark = pytest.mark.browser
DAY = date(2026, 11, 29)
LONG = "Nordwesthanglagenparzellenauslese" * 8
MARGIN = dict.fromkeys(("top", "right", "bottom", "left"), "14mm")


@contextmanager
def opened(browser: Browser, file: Path, **given: object) -> Iterator[tuple[Page, list[str]]]:
    """The file from disk in a browser that is offline, and everything it asked for."""
    context = browser.new_context(offline=True, **given)  # type: ignore[arg-type]
    page, asked = context.new_page(), list[str]()
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: asked.append(f"console: {message.text}"))
    page.goto(file.as_uri())
    yield page, asked
    context.close()


def sheets(page: Page) -> int:
    page.emulate_media(media="print")
    paper = page.pdf(format="A4", margin=MARGIN, print_background=True)
    page.emulate_media(media="null")
    return len(re.findall(rb"/Type\s*/Page\b", paper))


def saved(page: Page, folder: Path) -> Path:
    with page.expect_download() as download:
        page.get_by_role("link", name="Save as one file").click()
    to = folder / download.value.suggested_filename
    download.value.save_as(to)
    return to


@pytest.fixture(scope="module")
def files(
    browser: Browser, tmp_path_factory: pytest.TempPathFactory, run_folder: Path
) -> dict[str, Path]:
    """An answer, a side by side, a bag and all answers of the demo, saved as a person does."""
    home = tmp_path_factory.mktemp("readers")
    config = demo_in(home, run_folder, DAY)
    found = {}
    with served(create_app(config)) as address, window(browser, address, DESKTOP) as (context, ear):
        page = context.new_page()
        visit(page, "/questions/2")
        page.get_by_role("link", name="For readers").click()
        found["answer"] = saved(page, home)
        visit(page, "/bags/5")
        page.get_by_role("link", name="For readers").click()
        found["bag"] = saved(page, home)
        visit(page, "/side-by-side/107/108")
        page.get_by_role("link", name="For readers").click()
        found["pair"] = saved(page, home)
        visit(page, "/questions/")
        page.get_by_role("link", name="All answers in one file").click()
        found["all"] = saved(page, home)
        assert not ear.troubles()
    return found


@pytest.mark.parametrize("which", ["answer", "bag", "pair", "all"])
def test_a_saved_file_opens_without_network_or_script(
    browser: Browser, files: dict[str, Path], which: str
) -> None:
    file = files[which]
    grounds = set()
    for scheme, view in (("light", PHONE), ("dark", DESKTOP)):
        given = {"java_script_enabled": False, "viewport": view, "color_scheme": scheme}
        with opened(browser, file, **given) as (page, asked):
            expect(page.get_by_role("heading", level=1)).to_be_visible()
            expect(page.get_by_text("Made with Oddcup, ")).to_be_visible()
            for picture in page.locator("figure > svg").all():
                box = picture.bounding_box()
                assert box
                assert box["height"] > 150
                assert box["width"] > 150
            assert page.locator("figure > svg").count() >= 1
            assert asked == [file.as_uri()]
            ground = "one => getComputedStyle(one).backgroundColor"
            grounds.add(page.locator("main").evaluate(ground))
    assert len(grounds) == 2


@pytest.mark.parametrize("which", ["answer", "bag", "pair", "all"])
def test_a_saved_file_can_be_used_by_everybody_and_fits(
    browser: Browser, files: dict[str, Path], which: str
) -> None:
    for scheme, view in (("light", PHONE), ("dark", PHONE), ("light", DESKTOP), ("dark", DESKTOP)):
        with opened(browser, files[which], viewport=view, color_scheme=scheme) as (page, _):
            assert grave(page) == []
            for summary in page.locator("summary").all():
                summary.click()
            assert misfits(page) == []


@pytest.mark.parametrize("which", ["answer", "bag", "pair"])
def test_a_saved_file_prints_on_one_or_two_sheets(
    browser: Browser, files: dict[str, Path], which: str
) -> None:
    with opened(browser, files[which]) as (page, _):
        assert sheets(page) <= 2


def test_what_runs_over_a_sheet_keeps_the_size_of_its_letters(
    browser: Browser, files: dict[str, Path]
) -> None:
    """Sources in two columns that a page parts were wider than it, and Chromium shrank all."""
    with opened(browser, files["answer"]) as (page, _):
        sources = page.locator(".sources ul")
        more = "list => { for (const one of [...list.children]) list.append(...[...Array(24)]"
        sources.evaluate(f"{more}.map(() => one.cloneNode(true))); }}")
        page.set_viewport_size({"width": 688, "height": 1017})
        page.emulate_media(media="print")
        height = page.evaluate("document.documentElement.scrollHeight")
        assert sheets(page) >= height // 1017
        assert height > 3 * 1017


def test_words_without_an_end_stay_within_the_file(
    client: FlaskClient, browser: Browser, make: Make, tmp_path: Path
) -> None:
    question = ask(client, LONG, factor="filter")
    for name, liking in ((f"{LONG[:90]}1", 3), (f"{LONG[:90]}2", 9)):
        brew = make.brew(filters=[make.filter(make.pack(name=name))], note=LONG)
        make.tasting(brew, liking=liking, words=LONG)
        tie(client, question, "brew", brew)
    reply(client, question, f"{LONG}\n{LONG}")
    ticks = "beans=1&gear=1&tasters=1&cups=1&notes=1"
    file = tmp_path / "long.html"
    file.write_text(
        client.get(f"/readers/questions/{number(question)}/file.html?{ticks}").text, "utf-8"
    )
    for view in ({"width": 320, "height": 640}, PHONE, DESKTOP):
        with opened(browser, file, viewport=view) as (page, _):
            wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            assert wide <= 0
            assert sheets(page) <= 2


def test_what_is_ticked_is_seen_before_it_is_saved(make: Make, phone: Page) -> None:
    brew = make.brew(filters=[make.filter(make.pack(name="Corner shop"))])
    answer = {"state": "answered", "answer": "Either.", "answered_at": NOON}
    question = make.save(Question(text="Which?", factors=[], asked_at=NOON, **answer))
    make.save(QuestionBrew(question_id=question.id, brew_id=brew.id))
    visit(phone, f"/readers/questions/{question.id}")
    expect(phone.get_by_text("Corner shop")).to_have_count(0)
    phone.get_by_text("Let more in").click()
    phone.get_by_label("Names of gear, filters, waters and recipes").check()
    phone.get_by_role("button", name="Show it so").click()
    expect(phone.locator("main").get_by_text("paper filter (Corner shop)")).to_be_visible()
    with phone.expect_download() as download:
        phone.get_by_role("link", name="Save as text").click()
    assert "Corner shop" in Path(download.value.path()).read_text("utf-8")
