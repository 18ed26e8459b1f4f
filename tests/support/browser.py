"""Chromium, and an ear for everything a page must not do."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    Response,
)

# This machine as phones on the home network name it (tests.support.phone asks without a browser).
MACHINE = "192.168.1.20"
# An address of this machine that the network's server can really listen at.
LAN = "127.0.0.2"
PHONE = {"width": 390, "height": 844}
DESKTOP = {"width": 1280, "height": 800}
# The sandbox needs rights that root in a container lacks; the rest keeps Chromium's own
# calls home, and any page's, on this machine.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules=MAP {MACHINE} 127.0.0.1, MAP * ~NOTFOUND, "
    f"EXCLUDE 127.0.0.1, EXCLUDE {LAN}",
)
OWN = {"127.0.0.1", LAN, MACHINE}
# How long a busy machine may take over what takes a moment; a test that passes never waits so.
PATIENCE_MS = 30_000
TELL_VIOLATIONS = """addEventListener('securitypolicyviolation', (event) =>
    console.error(`policy: ${event.violatedDirective} ${event.blockedURI} ${event.sample}`))"""
# Every chart of the page is written in the ink of the colour scheme that the page is in now.
REPAINTED = """async () => {
    const ink = () => getComputedStyle(document.body).color;
    const inked = (text) => getComputedStyle(text).fill === ink();
    const charts = [...document.querySelectorAll('script[data-chart]')];
    const boxes = charts.map((chart) => document.getElementById(chart.dataset.chart));
    while (!boxes.every((box) => [...box.querySelectorAll('svg text')].some(inked)))
        await new Promise(requestAnimationFrame);
}"""
# A form that comes back with messages beside its fields answers 422; Chromium logs that.
FORM_CAME_BACK = "status of 422"


def chromium_path() -> str | None:
    debian = Path("/usr/bin/chromium")
    return str(debian) if debian.exists() else shutil.which("chromium")


def launch(playwright: Playwright) -> Browser:
    return playwright.chromium.launch(executable_path=chromium_path(), args=list(FLAGS))


def visit(page: Page, address: str) -> Response | None:
    """Open a page, all it loads included."""
    return page.goto(address, wait_until="load")


def switch(page: Page, scheme: str) -> None:
    """Put an open page into the other colour scheme, its charts included."""
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.evaluate(REPAINTED)


class Ear:
    """Hears console errors, exceptions, policy violations, failed and foreign requests."""

    def __init__(self, context: BrowserContext) -> None:
        self.heard: list[str] = []
        self._expected: list[str] = [FORM_CAME_BACK]
        context.add_init_script(TELL_VIOLATIONS)
        context.on("console", self._hear_console)
        context.on("weberror", lambda error: self.heard.append(f"exception: {error.error}"))
        context.on("request", self._hear_request)
        context.on("requestfailed", self._hear_failure)

    def expect(self, text: str) -> None:
        """This test provokes it: messages with this text are in order."""
        self._expected.append(text)

    def troubles(self) -> list[str]:
        return [line for line in self.heard if not any(text in line for text in self._expected)]

    def _hear_console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.heard.append(f"console: {message.text} ({message.location.get('url', '')})")

    def _hear_request(self, request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme not in {"blob", "data"} and parts.hostname not in OWN:
            self.heard.append(f"off the machine: {request.url}")

    def _hear_failure(self, request: Request) -> None:
        if request.failure != "net::ERR_ABORTED":  # what leaving a page does to its requests
            self.heard.append(f"failed: {request.url} {request.failure}")


@contextmanager
def window(
    browser: Browser, address: str, size: dict[str, int], scheme: str = "light"
) -> Iterator[tuple[BrowserContext, Ear]]:
    """A fresh browser window (nothing kept from others) that listens to its pages."""
    context = browser.new_context(
        base_url=address,
        viewport={"width": size["width"], "height": size["height"]},
        color_scheme="dark" if scheme == "dark" else "light",
        timezone_id="UTC",
        locale="en-GB",
        has_touch=size == PHONE,
    )
    context.set_default_timeout(PATIENCE_MS)
    try:
        yield context, Ear(context)
    finally:
        context.close()
