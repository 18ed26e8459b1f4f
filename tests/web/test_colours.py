"""What the dark colour scheme may change."""

import re

from tests.support.server import ROOT

SCHEME = "prefers-color-scheme"
DARK = re.compile(rf"@media[^{{]*{SCHEME}: dark\) {{\s*:root {{([^}}]*)}}\s*}}")
PROPERTY = re.compile(r"(--[\w-]+): ([^;]+);")
COLOUR = re.compile(r"#[0-9a-f]+|rgb\([^)]*\)")


def test_the_dark_scheme_changes_colours_and_nothing_else():
    """The browser tests rely on it: the second scheme is asked about its colours only."""
    sheets = [path.read_text() for path in sorted((ROOT / "static").rglob("*.css"))]
    (tokens,) = [sheet for sheet in sheets if SCHEME in sheet]
    (dark,) = DARK.findall(tokens)
    assert tokens.count(SCHEME) == 1
    assert PROPERTY.sub("", dark).strip() == "", "a declaration that sets no custom property"
    changed = dict(PROPERTY.findall(dark))
    assert changed.pop("--shade"), "a shadow takes no room"
    for name, value in changed.items():
        assert COLOUR.fullmatch(value), name
