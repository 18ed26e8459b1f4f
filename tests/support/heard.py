"""Every reply a browser window got, and whether one of them holds the key of a trial."""

from __future__ import annotations

import re

from playwright.sync_api import Page, Response


class Heard:
    """Every reply a window got: address, status, headers, and body as text."""

    def __init__(self, page: Page) -> None:
        self.replies: list[tuple[str, str]] = []
        page.on("response", self._hear)

    def _hear(self, response: Response) -> None:
        try:
            body = "" if 300 <= response.status < 400 else response.text()
        except Exception:  # a page that was left before its reply was read
            body = ""
        head = " ".join(f"{name}: {value}" for name, value in response.headers.items())
        self.replies.append((response.url, f"{response.status} {head} {body}"))


def key_in(reply: str, cups: str, codes: list[str], url: str = "") -> bool:
    """Whether a reply pairs a code with its cup, or holds the key as it is stored."""
    if "/vendor/" in url:  # the chart library: large enough to hold any three letters
        return False
    pairs = (
        re.search(rf"{code}\W(?:(?!\d{{3}}\b).){{0,400}}?Cup </span>{cup}", reply, re.DOTALL)
        for code, cup in zip(codes, cups, strict=True)
    )
    stored = re.search(rf"(?<![\w.-]){cups}(?![\w.-])", reply)  # not by chance inside a token
    return bool(stored) or " ".join(cups) in reply or any(pairs)
