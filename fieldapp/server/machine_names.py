"""Names and addresses by which phones may reach this machine."""

from __future__ import annotations

import contextlib
import ipaddress
import re
import socket
from collections.abc import Iterable
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address

from fieldapp.errors import InputError
from fieldapp.settings import Settings

Address = IPv4Address | IPv6Address

LABEL = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)")
LONGEST_NAME = 253
LOOPBACK_NAME = "localhost"
LOOPBACK_ADDRESSES = (IPv4Address("127.0.0.1"), IPv6Address("::1"))


@dataclass(frozen=True)
class Names:
    """Names (lower case, with a dot unless it is localhost) and addresses, each once and in order of use."""

    dns: tuple[str, ...] = ()
    addresses: tuple[Address, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.dns or self.addresses)

    def __or__(self, other: Names) -> Names:
        dns = dict.fromkeys(self.dns + other.dns)
        return Names(tuple(dns), tuple(dict.fromkeys(self.addresses + other.addresses)))

    def __sub__(self, other: Names) -> Names:
        dns = tuple(name for name in self.dns if name not in other.dns)
        return Names(dns, tuple(address for address in self.addresses if address not in other.addresses))

    def words(self) -> str:
        """Return all of them as people read them."""
        return ", ".join([*self.dns, *map(str, self.addresses)])


LOOPBACK = Names((LOOPBACK_NAME,), LOOPBACK_ADDRESSES)


def read_names(texts: Iterable[str]) -> Names:
    """Return names and addresses as a person gave them; raises InputError for one that cannot be used."""
    dns: list[str] = []
    addresses: list[Address] = []
    for text in texts:
        try:
            addresses.append(ipaddress.ip_address(text.strip("[]")))
        except ValueError:
            dns.append(_dns_name(text))
    return Names(tuple(dns), tuple(addresses)) | Names()


def found_names(settings: Settings) -> Names:
    """Return what this machine itself says that it is called and where it lies.

    Single words are left out: an authority that may vouch for `dev` may vouch for every name that ends so.
    So are IPv6 addresses of the network, which change from day to day; one can be given by hand.
    """
    own = socket.gethostname().lower()
    candidates = (own, f"{own.partition('.')[0]}.local")
    dns = tuple(name for name in candidates if "." in name and _is_dns_name(name))
    return Names(dns, _network_addresses(settings.host)) | LOOPBACK


def _network_addresses(host: str) -> tuple[Address, ...]:
    addresses = [own_address()]
    with contextlib.suppress(ValueError):
        addresses.append(ipaddress.ip_address(host))
    return tuple(one for one in addresses if one and not one.is_loopback and not one.is_unspecified)


def own_address() -> Address | None:
    """Return the address by which this machine goes out; connecting a datagram socket sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return None
        return ipaddress.ip_address(probe.getsockname()[0])


def _dns_name(text: str) -> str:
    try:
        name = text.strip().rstrip(".").lower().encode("idna").decode("ascii")
    except UnicodeError:
        name = ""
    if _is_dns_name(name) and ("." in name or name == LOOPBACK_NAME):
        return name
    raise InputError(
        f"'{text}' cannot stand in a certificate; give a full host name with a dot, such as course.lan, or an address."
    )


def _is_dns_name(name: str) -> bool:
    labels = name.split(".")
    return (
        len(name) <= LONGEST_NAME
        and all(LABEL.fullmatch(label) for label in labels)
        and not labels[-1].isdigit()
    )
