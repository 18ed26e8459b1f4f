"""The answering desk from end to end on a phone, every tap counted: forty lines that people wrote
become questions, two of them a sitting at the table, that an answer, and that a file for readers,
which opens from a disk without network and script and holds nothing private.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.config import Config
from app.database import Database
from app.models import Ask, BlindTest, Brew, Question, SideBySide, Sitting, Tasting, Trial
from tests.support.accessible import grave
from tests.support.browser import DESKTOP, PHONE
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.thumb import FITS, Thumb, clean

pytestmark = pytest.mark.browser

GATHERED_TAPS, PLANNED_TAPS, RUN_TAPS, SAVED_TAPS = 12, 12, 56, 6
# The words that are most like those of all who asked the same become the question.
STIR, STEEP = "Do you stir after pouring?", "steep how long?"
ANSWER = "We could not tell. One stir, or none: do as you like."
# Whatever this household typed, and nothing else, has such a word in it.
OURS = "zq"
SOURCE = "zq the evening class"
LINES = """Should I stir after pouring?
Should I stir it after the pouring or not?
Do you stir after pouring?
stir after pouring, yes or no
is it good to stir after pouring
I never stir after pouring, should I?
stirring after pouring, is it worth it
How long should it steep?
how long do you let it steep
How long should I let it steep, please?
steep how long?
is a longer steep better, how long should it be
how long must it steep
Do I have to rinse the paper?
rinse the paper first?
should I rinse the paper filter
rinse the paper or not
How hot should the water be?
how hot is the water
how hot should my water be for this
how hot do you take the water
Can I grind coarser?
may I grind coarser
is it better to grind coarser
How old may the beans be?
how old can beans be
how old are your beans
Is a warm mug better?
is a warm mug really better
why is a warm mug better
Metal filter or paper filter?
metal filter or paper filter, which
Is hard water bad?
hard water, is it bad for coffee
Where do you buy zqspoons like that?
Can I come on Saturday?
What is the zqladle called?
May I bring a friend?
Who painted the zqcups?
When is the next evening?"""
FIRST_ID = 7_100_001
HEADING = re.compile("Right answer|Not this time")


@pytest.fixture(autouse=True)
def a_household(make: Make) -> None:
    """One who has brewed and tasted before; all row numbers are such as stand nowhere by chance."""
    number = FIRST_ID
    bean = make.bean(
        id=number, name="zqplum", roaster="zqroaster", origin="zqvalley", note="zq a gift"
    )
    bag = make.bag(bean, id=number, note="zq from the shelf")
    press = make.brewer(id=number, name="zqpress left", note="zq chipped")
    make.brewer(id=number + 1, name="zqpress right", alike_to_id=press.id)
    grinder = make.grinder(id=number, name="zqmill", note="zq loud")
    water = make.water(id=number, name="zqspring", hardness_mg_l=80.0)
    paper = make.filter(make.pack(id=number, name="zqround"), id=number)
    given = {"grinder_id": grinder.id, "water_id": water.id, "grind_setting": "zq17"}
    earlier = make.brew(bag, press, id=number + 1)
    brew = make.brew(
        bag, press, filters=[paper], id=number, dose_g=12.5, water_g=190.0, water_temp_c=92.0,
        steep_s=90, press_s=20, stirs=1, note="zq a cup for the neighbour", **given,
    )  # fmt: skip
    who = make.taster(id=number, name="zqsorrel")
    make.tasting(brew, who, id=number, liking=6, words="zqplums", note="zq tart at the end")
    pair = make.side_by_side(earlier, brew, id=number, note="zq even")
    gone = make.save(Question(id=number, text="zq gone?", asked_at=NOON))
    ask = make.save(Ask(id=number, text="zq gone", asked_on=NOON.date(), noted_at=NOON))
    sitting = make.save(Sitting(id=number, entry_key="zqsitting", planned_at=NOON))
    for row in (pair, gone, ask, sitting):
        make.put_in_the_bin(row)


def go(page: Page, thumb: Thumb, place: Locator) -> None:
    with page.expect_navigation():
        thumb.tap(place)
    page.wait_for_load_state()


def count(journal: Database, table: type[Ask | Brew | Tasting | Trial | SideBySide]) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(table)) or 0


def test_forty_lines_become_an_answer_for_readers(
    phone: Page, browser: Browser, journal: Database, config: Config, tmp_path: Path
) -> None:
    phone.clock.install()
    gathered(phone, journal)
    planned(phone)
    run_to_the_end(phone, journal)
    file = answered_and_saved(phone, tmp_path)
    opens_from_the_disk(browser, file)
    passes_axe(browser, file)
    holds_nothing_private(file.read_text(encoding="utf-8"), config)


def gathered(phone: Page, journal: Database) -> None:
    """Pasted, then one tap a question; one gathering is taken back and made again."""
    thumb, button = Thumb(), phone.get_by_role
    phone.goto("/questions/")
    go(phone, thumb, button("link", name="Paste what people asked"))
    thumb.type(phone.get_by_label("Asks, one a line"), LINES)
    thumb.type(phone.get_by_label("Where they came from"), SOURCE)
    go(phone, thumb, button("button", name="Note them"))
    expect(phone.get_by_text("40 asks noted.")).to_be_visible()
    clean(phone)
    one_question = button("button", name="Gather as one question")
    first = one_question.count()
    go(phone, thumb, one_question.first)
    go(phone, Thumb(), button("button", name="Take it back"))
    expect(one_question).to_have_count(first)
    go(phone, Thumb(), one_question.first)
    while one_question.count():
        go(phone, thumb, one_question.first)
    clean(phone)
    with Session(journal.reader) as session:
        query = select(Question.text, func.count(Ask.id)).join(Ask, Ask.question_id == Question.id)
        rows = session.execute(query.group_by(Question.id)).all()
        times = {row[0]: row[1] for row in rows}
        waiting = session.scalar(
            select(func.count()).where(Ask.question_id.is_(None), Ask.binned_at.is_(None))
        )
    print(f"40 lines became {len(times)} questions in {thumb.taps} taps, {waiting} wait: {times}")
    assert times[STIR] >= 5
    assert times[STEEP] >= 4
    assert sum(times.values()) + (waiting or 0) == 40
    assert len(times) >= 7
    assert thumb.taps <= GATHERED_TAPS + len(times)


def planned(phone: Page) -> None:
    """Two questions: steeps side by side; stirs side by side and in a blind trial."""
    thumb, button = Thumb(), phone.get_by_role
    phone.goto("/questions/")
    go(phone, thumb, button("link", name="Plan a sitting"))
    for text in (STEEP, STIR):
        thumb.tap(button("checkbox", name=re.compile(re.escape(text))))
    go(phone, thumb, button("button", name="Make the plan"))
    clean(phone)
    thumb.type(phone.get_by_label("B: Steep"), "2:30")
    thumb.type(phone.get_by_label("B: Stirs"), "4")
    stirs = phone.locator("details.fold", has_text=STIR)
    stirs.get_by_label("Blind trials").select_option("1")
    thumb.taps += 2
    go(phone, thumb, button("button", name="Save this sitting"))
    expect(phone.get_by_role("heading", name="Run sheet")).to_be_visible()
    clean(phone)
    print(f"a sitting of two questions planned in {thumb.taps} taps")
    assert thumb.taps <= PLANNED_TAPS


def run_to_the_end(phone: Page, journal: Database) -> None:
    """Whatever the sheet says is next, until nothing is; left once and taken up again."""
    thumb, sheet = Thumb(), phone.url
    following = phone.locator(".sheet-next")
    lines = phone.locator(".sheet-line").count()
    for turn in range(3 * lines):
        if not following.count():
            break
        if turn == 4:
            phone.goto("/")
            go(
                phone,
                thumb,
                phone.get_by_role("link", name=re.compile("run sheet|sitting", re.I)).first,
            )
            expect(phone).to_have_url(sheet)
        line_done(phone, thumb, following)
    clean(phone)
    expect(phone.get_by_text(f"{lines} of {lines} lines done.")).to_be_visible()
    assert count(journal, Brew) == 2 + 6
    assert count(journal, SideBySide) == 1 + 2
    with Session(journal.reader) as session:
        test = session.scalars(select(BlindTest)).one()
        trial = session.scalars(select(Trial)).one()
        assert (test.claim, trial.answer is not None, trial.seen_at is not None) == (
            "these cups", True, True,
        )  # fmt: skip
    print(f"{lines} lines run to the end in {thumb.taps} taps")
    assert thumb.taps <= RUN_TAPS


def line_done(phone: Page, thumb: Thumb, following: Locator) -> None:
    """One thing that the sheet offers, by the first way it offers."""
    first = following.locator("a.button, button").first
    words = first.inner_text()
    if words == "A, left":
        first = following.get_by_role("button", name="B, right")
    go(phone, thumb, first)
    if words == "Brew along":
        brewed_along(phone, thumb)
    elif words == "Taste both":
        for letter, step in (("A", 6), ("B", 7)):
            row = phone.get_by_role("radiogroup", name=f"Liking of cup {letter}")
            thumb.tap(row.locator("label").nth(step - 1))
        go(phone, thumb, phone.get_by_role("button", name="Save both tastings"))
    elif words == "Plan the blind test":
        in_a_blind_trial(phone, thumb)


def brewed_along(phone: Page, thumb: Thumb) -> None:
    button = phone.get_by_role
    thumb.tap(button("button", name="Start", exact=True))
    for cup in ("A", "B"):
        phone.clock.fast_forward(150_000)
        expect(phone.locator(f"[data-cup={cup}] [data-now]")).not_to_have_text("Wait")
    expect(phone.locator("#ready")).to_be_visible()
    go(phone, thumb, button("button", name="Log both"))
    go(phone, thumb, button("button", name="Save both brews"))


def in_a_blind_trial(phone: Page, thumb: Thumb) -> None:
    button = phone.get_by_role
    thumb.tap(button("radio", name="A medium one"))
    go(phone, thumb, button("button", name="Start this test"))
    thumb.tap(button("button", name="Poured and turned: taste"))
    expect(phone.get_by_text("Which is the odd one?").first).to_be_visible()
    thumb.tap(button("radio", name="Nearest"))
    thumb.tap(button("button", name="I am sure"))
    thumb.tap(button("button", name="2", exact=True))
    expect(button("heading", name=HEADING)).to_be_visible()
    clean(phone)
    go(phone, thumb, button("link", name="Back to the run sheet"))


def answered_and_saved(phone: Page, folder: Path) -> Path:
    """From what the sitting found to the answer, its page for readers and their file."""
    thumb, button = Thumb(), phone.get_by_role
    found = phone.locator("section.card", has=phone.get_by_role("heading", name=STIR))
    go(phone, thumb, found.get_by_role("link", name="Write the answer"))
    thumb.type(phone.locator("textarea[name=answer]"), ANSWER)
    go(phone, thumb, button("button", name="Save as answered"))
    clean(phone)
    go(phone, thumb, button("link", name="For readers"))
    clean(phone)
    with phone.expect_download() as download:
        thumb.tap(button("link", name="Save as one file"))
    saved = folder / download.value.suggested_filename
    download.value.save_as(saved)
    # What is ticked stands in it: so the search below would find what was not.
    ticked = phone.request.get(f"{phone.url}/file.html?beans=1&gear=1&tasters=1&notes=1").text()
    assert {"zqplum", "zqpress left", "zqsorrel"} <= set(re.findall(r"zqpress left|zq\w+", ticked))
    print(f"answered and saved for readers in {thumb.taps} taps: {saved.stat().st_size} bytes")
    assert saved.name == "do-you-stir-after-pouring.html"
    assert thumb.taps <= SAVED_TAPS
    return saved


def opens_from_the_disk(browser: Browser, file: Path) -> None:
    """Without network and without script, on a phone and on paper."""
    context = browser.new_context(
        offline=True, java_script_enabled=False, viewport={"width": 390, "height": 844}
    )
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    page = context.new_page()
    page.goto(file.as_uri())
    expect(page.locator("h1")).to_have_text(STIR)
    expect(page.locator("main")).to_contain_text(ANSWER)
    expect(page.locator("main")).to_contain_text("Tested within")
    expect(page.locator("main")).to_contain_text(
        "Compared were cups brewed with one and four stirs."
    )
    expect(page.locator("main")).to_contain_text("blind")
    expect(page.locator("svg").first).to_be_visible()
    assert asked == [file.as_uri()]
    for sheet in ("A4", "Letter"):
        paper = page.pdf(format=sheet, print_background=True)
        assert len(re.findall(rb"/Type\s*/Page\b", paper)) in (1, 2), sheet
    context.close()


def passes_axe(browser: Browser, file: Path) -> None:
    """In a window of its own, with the script that looks, small and large, light and dark."""
    for size, scheme in ((PHONE, "light"), (PHONE, "dark"), (DESKTOP, "light"), (DESKTOP, "dark")):
        context = browser.new_context(
            offline=True, bypass_csp=True, color_scheme="dark" if scheme == "dark" else "light",
            viewport={"width": size["width"], "height": size["height"]},
        )  # fmt: skip
        page = context.new_page()
        page.goto(file.as_uri())
        assert grave(page) == [], (size, scheme)
        assert page.evaluate(FITS)
        context.close()


def holds_nothing_private(html: str, config: Config) -> None:
    """No text of the journal with a word of the household's own, no ask but the question itself,
    no row number."""
    out = unescape(html).casefold()
    texts, numbers = everything(config)
    ours = {text for text in texts if OURS in text.casefold()}
    assert {text.split()[0] for text in ours} >= {
        "zqplum",
        "zqpress",
        "zqsorrel",
        "zqround",
        "zqmill",
    }
    asks = {line for line in LINES.splitlines() if line != STIR}
    assert asks <= texts
    assert OURS not in out
    assert [text for text in ours | asks if text.casefold() in out] == []
    assert len(numbers) > 20
    assert [number for number in numbers if number in out] == []
    assert not re.search(
        r"href=\"?/|127\.0\.0\.1|localhost|<script|<img|https?://(?!www\.w3\.org)", html
    )


def everything(config: Config) -> tuple[set[str], set[str]]:
    """Every text of every table of the journal's file, those within JSON too, and every number of
    a row that was given one."""
    texts: set[str] = set()
    numbers: set[str] = set()
    file = sqlite3.connect(config.url.removeprefix("sqlite:///"))
    tables = [row[0] for row in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    for table in tables:
        for row in file.execute(f'SELECT * FROM "{table}"'):
            for value in row:
                if isinstance(value, str):
                    texts.update(leaves(value))
                elif isinstance(value, int) and FIRST_ID <= value < 2 * FIRST_ID:
                    numbers.add(str(value))
    file.close()
    return texts, numbers


def leaves(text: str) -> Iterator[str]:
    """A text as it is, or the texts in it where it is JSON."""
    try:
        held = json.loads(text)
    except ValueError:
        held = text
    waiting = [held]
    while waiting:
        one = waiting.pop()
        if isinstance(one, dict):
            waiting.extend(one.values())
        elif isinstance(one, list):
            waiting.extend(one)
        elif isinstance(one, str):
            yield one
