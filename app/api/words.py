"""Sentences of the pages on scripts."""

from app.journal.tokens import TokenRow
from app.web.api.operations import SCOPES

LEAD = (
    "A script of yours can log brews and tastings, and read the journal, with a token. It is sent "
    "with each request and opens no page."
)


def may(token: TokenRow) -> str:
    """What a token may do, and from where."""
    done = [words for scope, words in SCOPES.items() if getattr(token, scope)]
    where = "from the home network, too" if token.from_network else "from this machine only"
    return f"{', '.join(done)}; {where}"
