"""A phone's window with a processor four times slower, on the app and on what it is held against.

The page without charts is the same page of the same server, its figures and what draws them taken
out of the reply. The bare page of a figure holds nothing but the chart script, the figure and the
one call that draws it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager

from flask import Flask, Response, current_app, request
from playwright.sync_api import Browser, Page

from app.web.plotly_script import plotly_url
from tests.support.browser import PATIENCE_MS, PHONE

SLOWER = 4
WITHOUT = "X-Without-Charts"
PARTS = re.compile(
    r'<figure class="chart".*?</figure>|<script[^>]*src="[^"]*(?:plotly|chart)[^>]*></script>'
    r"|<link[^>]*css/charts[^>]*>",
    re.DOTALL,
)
TOKEN = re.compile(r"var\(--[\w-]+\)")
ALONE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>A figure</title>
<meta name="viewport" content="width=device-width"><link rel="icon" href="data:,">
<div id="box"></div><script src="{script}"></script><script>
Plotly.newPlot("box", {data}, {layout}, {{displayModeBar: false}}).then(() =>
  requestAnimationFrame(() => requestAnimationFrame(() => {{
    window.drawn = performance.now();
  }})));
</script>"""

# Told by the browser in the same clock as the first paint: when the last text of the first picture
# was shown, by when all of the picture stood.
WATCH = """
window.drawn = null;
new PerformanceObserver((seen) => { window.drawn ??= seen.getEntries()[0].renderTime; })
  .observe({ type: 'element', buffered: true });
"""
PAINTED = "performance.getEntriesByName('first-contentful-paint')[0]?.startTime"
# From the tap to the frame after the one in which the live chart stands.
TAP = """async (id) => {
  const box = document.getElementById(id);
  const frame = () => new Promise(requestAnimationFrame);
  const figure = box.closest('figure'), start = performance.now();
  figure.querySelector('.go-live').click();
  while (!box.classList.contains('live')) {
    if (figure.querySelector('[role=status]')) throw new Error('the chart did not become live');
    await frame();
  }
  await frame();
  return performance.now() - start;
}"""


def add_bare_pages(app: Flask, figures: dict[str, str]) -> None:
    """What the app's pages are held against; `figures` as the pages hold them."""
    app.extensions["bench_figures"] = figures
    app.after_request(_as_measured)
    app.add_url_rule("/bench/alone/<name>", "bench_alone", _alone)


def _as_measured(response: Response) -> Response:
    if response.mimetype == "text/html":
        html = response.get_data(as_text=True)
        response.set_data(PARTS.sub("", html) if WITHOUT in request.headers else _watched(html))
    return response


def _watched(html: str) -> str:
    start = html.find('<svg class="still')
    last = html.rfind("<text", start, html.find("</figure>", start))
    return html if start < 0 else f'{html[:last]}<text elementtiming="chart"{html[last + 5 :]}'


def _alone(name: str) -> Response:
    figure = json.loads(TOKEN.sub("#345", current_app.extensions["bench_figures"][name]))
    data, layout = (json.dumps(figure[part]) for part in ("data", "layout"))
    answer = Response(ALONE.format(script=plotly_url(), data=data, layout=layout))
    answer.headers["Content-Security-Policy"] = "default-src 'self' data: 'unsafe-inline'"
    return answer


@contextmanager
def slow_phone(browser: Browser, address: str, *, charts: bool = True) -> Iterator[Page]:
    """A window with nothing in its cache."""
    context = browser.new_context(
        base_url=address,
        viewport={"width": PHONE["width"], "height": PHONE["height"]},
        has_touch=True,
        extra_http_headers={} if charts else {WITHOUT: "1"},
    )
    context.set_default_timeout(PATIENCE_MS)
    context.add_init_script(WATCH)
    try:
        page = context.new_page()
        session = context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        yield page
    finally:
        context.close()


def _until(page: Page, said: str) -> None:
    """Wait until a page says so; Playwright's own way needs eval, which the pages forbid."""
    while not page.evaluate(said):
        page.wait_for_timeout(20)


def chart_painted(page: Page, address: str) -> float:
    """Milliseconds from leaving for the page until its first chart is painted, still or live."""
    page.goto(address, wait_until="load")
    _until(page, "window.drawn !== null")
    return float(page.evaluate("window.drawn"))


def text_painted(page: Page, address: str) -> float:
    """Milliseconds until the first text of the page is painted."""
    page.goto(address, wait_until="load")
    _until(page, PAINTED)
    return float(page.evaluate(PAINTED))


def live_after_tap(page: Page, address: str, chart: str) -> float:
    """Milliseconds from the tap on a chart of a page that has come to rest."""
    page.goto(address, wait_until="networkidle")
    return float(page.evaluate(TAP, chart))


def alone_drawn(page: Page, chart: str) -> float:
    """Milliseconds from leaving for the bare page of the figure until it is drawn."""
    page.goto(f"/bench/alone/{chart}", wait_until="load")
    _until(page, "window.drawn !== null")
    return float(page.evaluate("window.drawn"))
