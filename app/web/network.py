"""Whether other devices on the network may reach this machine, and who can change that."""

from collections.abc import Sequence
from typing import Protocol

from flask import current_app

MEANS = (
    "Phones and computers on the same network can then reach Oddcup on this machine. They see "
    "nothing of the journal unless they are paired, or let in by a guest’s or a helper’s code. "
    "The connection is not encrypted, so this is for a network you trust at home, not for a public "
    "one. It lasts until you close it under Devices, or close Oddcup."
)


class Network(Protocol):
    """The part of the server that listens to other devices; it can be opened and closed."""

    def open(self, addresses: Sequence[str]) -> None:
        """Listen at these addresses of this machine. Raises OSError where one cannot be had."""

    def close(self) -> None:
        """Listen there no more, and let go of every device that is connected."""


def network() -> Network | None:
    """The network's part of our own server; none where another program serves the app."""
    known: Network | None = current_app.extensions.get("oddcup_network")
    return known


def is_open() -> bool:
    return bool(current_app.config["LAN_ADDRESSES"])
