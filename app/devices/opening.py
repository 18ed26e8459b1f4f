"""Opening the journal to the network while it runs, and closing it again."""

import errno

from flask import current_app

from app.config import Config
from app.devices.network import lan_addresses
from app.web.network import network
from app.web.security import open_to_network

NOT_OURS = (
    "Another program serves this journal and decides who can reach it, so it cannot be opened or "
    "closed here."
)
NO_NETWORK = (
    "This machine is in no home network now, so no phone could reach it. Connect it to the network "
    "that the phones are in, and try again."
)
TAKEN = (
    "Another program on this machine uses {}, so phones cannot be let in there. Close that "
    "program, or close Oddcup and start it at another port: oddcup serve --port {}"
)
REFUSED = "This machine did not allow it ({}). Nothing was opened; a firewall may be the reason."


class NotOpened(Exception):
    """The text says why."""


def open_up() -> None:
    """Let other devices reach the pages that the gate gives them. Raises NotOpened."""
    config: Config = current_app.config["JOURNAL"]
    ours = network()
    if ours is None:
        raise NotOpened(NOT_OURS)
    if current_app.config["LAN_ADDRESSES"]:
        return
    try:
        addresses = lan_addresses()
        ours.open(addresses)
    except ValueError:
        raise NotOpened(NO_NETWORK) from None
    except OSError as refused:
        if refused.errno == errno.EADDRINUSE:
            at = " or ".join(f"{one}:{config.port}" for one in addresses)
            raise NotOpened(TAKEN.format(at, config.port + 1)) from None
        raise NotOpened(REFUSED.format(refused.strerror or refused)) from None
    open_to_network(current_app, addresses)


def close_up() -> None:
    """Let go of every device on the network; what they were paired as stays. Raises NotOpened."""
    ours = network()
    if ours is None:
        raise NotOpened(NOT_OURS)
    open_to_network(current_app, ())
    ours.close()


def moved_away() -> bool:
    """Whether the journal is open at an address that this machine has no more."""
    opened = current_app.config["LAN_ADDRESSES"]
    try:
        return bool(opened) and not set(opened) & set(lan_addresses())
    except ValueError:
        return bool(opened)
