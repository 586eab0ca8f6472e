"""How often an address may come with a wrong link."""

from __future__ import annotations

import ipaddress
import math
import threading
from collections import OrderedDict, deque


class SignInLimit:
    """Counts wrong links by the address they come from; bounded in memory, since the oldest address is forgotten.

    It counts wrong links only, and a right one goes through at any time: a token of 256 bits cannot be guessed at
    any pace, while a crew behind one address must not be kept out by one phone with an old link. What the limit saves
    is work, and it tells whoever tries that it is noticed.
    """

    def __init__(self, most: int = 10, within_s: float = 300.0, most_addresses: int = 10_000) -> None:
        self._most = most
        self._within_s = within_s
        self._most_addresses = most_addresses
        self._wrong: OrderedDict[str, deque[float]] = OrderedDict()
        self._turn = threading.Lock()

    def wrong(self, address: str, now_s: float) -> int:
        """Count a wrong link; return 0, or how many seconds to wait where there were too many before it."""
        with self._turn:
            times = self._wrong.setdefault(_network(address), deque(maxlen=self._most))
            while times and times[0] <= now_s - self._within_s:
                times.popleft()
            if len(times) >= self._most:
                return math.ceil(times[0] + self._within_s - now_s)
            times.append(now_s)
            self._wrong.move_to_end(_network(address))
            while len(self._wrong) > self._most_addresses:
                self._wrong.popitem(last=False)
            return 0

    def __len__(self) -> int:
        """Return how many addresses are remembered."""
        return len(self._wrong)


def _network(address: str) -> str:
    """Return what one visitor has to itself: an IPv4 address, or the first 64 bits of an IPv6 one."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address[:100]
    if isinstance(found, ipaddress.IPv6Address):
        return str(found.ipv4_mapped or ipaddress.ip_network((found, 64), strict=False))
    return str(found)
