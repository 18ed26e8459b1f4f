"""The addresses at which other devices on the home network reach this machine."""

import socket
import struct
import sys
from contextlib import suppress
from ipaddress import AddressValueError, IPv4Address

NONE_FOUND = (
    "No home network was found on this machine. If there is one, name this machine's "
    "address on it: oddcup serve --lan ADDRESS"
)
NOT_HOME = (
    "{} is no address of a home network. Oddcup speaks plain http there, so it is not for "
    "the open internet; name an address such as 192.168.1.20."
)
NOT_OWN = "This machine does not have the address {}."


def lan_addresses(asked: str = "") -> tuple[str, ...]:
    """This machine's private IPv4 addresses, the usual one first, or only the one asked for.

    Raises ValueError where there is none, or where the one asked for cannot be used.
    """
    if asked:
        if not _serves_a_home(asked, by_name=True):
            raise ValueError(NOT_HOME.format(asked))
        if not _is_own(asked):
            raise ValueError(NOT_OWN.format(asked))
        return (asked,)
    own = (_usual_address(), *_own_addresses())
    addresses = tuple(dict.fromkeys(a for a in own if _serves_a_home(a)))
    if not addresses:
        raise ValueError(NONE_FOUND)
    return addresses


def _serves_a_home(text: str, *, by_name: bool = False) -> bool:
    """Whether it is a private address; one named by the user may be of the shared range too."""
    try:
        address = IPv4Address(text)
    except AddressValueError:
        return False
    if address.is_loopback or address.is_link_local or address.is_multicast:
        return False
    if address.is_unspecified or address.is_reserved:
        return False
    return address.is_private or (by_name and not address.is_global)


def _is_own(address: str) -> bool:
    with socket.socket() as probe:
        try:
            probe.bind((address, 0))
        except OSError:
            return False
        return True


def _usual_address() -> str:
    """The address that this machine has towards other networks; nothing is sent for that."""
    elsewhere = ("192.0.2.1", 9)  # of RFC 5737, for documentation: nobody is there
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect(elsewhere)
        return str(probe.getsockname()[0])
    return ""


def _own_addresses() -> list[str]:
    if sys.platform == "linux":
        return [a for _, name in socket.if_nameindex() if (a := _address_of(name))]
    return list(socket.gethostbyname_ex(socket.gethostname())[2])


def _address_of(interface: str) -> str:
    """The first IPv4 address of a network interface, as netdevice(7) tells it on Linux."""
    if sys.platform != "linux":
        return ""
    from fcntl import ioctl

    get_address = 0x8915
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            reply = ioctl(probe, get_address, struct.pack("256s", interface.encode()[:15]))
        except OSError:
            return ""
    return socket.inet_ntoa(reply[20:24])
