"""How many wrong links and device cookies may come from one address."""

from __future__ import annotations

import ipaddress
import math
import threading
from collections import OrderedDict


class SignInLimit:
    """Counts different wrong secrets, of links and of devices, by the address they come from.

    Past `most` of them within `within_s` seconds no link from that address is looked up, right or wrong: that saves
    the work, and tells whoever tries that it is noticed. The bound is generous and the same secret counts once, because
    a crew's phones share one address, and one with an old link or cookie asks again and again. A device that is in
    already is never kept out. It is no guard against guessing, which 256 bits need none of. The address longest without
    a wrong secret is forgotten when there are too many.
    """

    def __init__(self, most: int = 200, within_s: float = 300.0, most_addresses: int = 1_000) -> None:
        self._most = most
        self._within_s = within_s
        self._most_addresses = most_addresses
        self._wrong: OrderedDict[str, dict[int, float]] = OrderedDict()
        self._turn = threading.Lock()

    def wait_s(self, address: str, now_s: float) -> int:
        """Return how many seconds links from an address are to wait; 0 where they need not."""
        with self._turn:
            times = self._recent(_network(address), now_s)
            if len(times) < self._most:
                return 0
            return math.ceil(min(times.values()) + self._within_s - now_s)

    def wrong(self, address: str, secret: str, now_s: float) -> None:
        """Count a secret that is nobody's."""
        network = _network(address)
        with self._turn:
            times = self._recent(network, now_s)
            if len(times) < self._most:
                times.setdefault(hash(secret), now_s)
            self._wrong[network] = times
            self._wrong.move_to_end(network)
            if len(self._wrong) > self._most_addresses:
                self._wrong.popitem(last=False)

    def __len__(self) -> int:
        """Return how many addresses are remembered."""
        return len(self._wrong)

    def _recent(self, network: str, now_s: float) -> dict[int, float]:
        since = now_s - self._within_s
        return {secret: at for secret, at in self._wrong.get(network, {}).items() if at > since}


def _network(address: str) -> str:
    """Return what one visitor has to itself: an IPv4 address, or the first 64 bits of an IPv6 one."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address[:100]
    if isinstance(found, ipaddress.IPv6Address):
        return str(found.ipv4_mapped or ipaddress.ip_network((found, 64), strict=False))
    return str(found)
