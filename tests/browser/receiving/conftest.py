"""A worker whose receiver is in the test's hands: noisy fixes about a place, played under a clock put on at will."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fieldapp.formats.site_folder import load_checked_site

STUB = Path(__file__).with_name("geolocation_stub.js")
SITE = "skerry-bank"
REPOSITORY = Path(__file__).parents[3]
METRES_TO_A_DEGREE = 111_300.0
R68_IN_SIGMA = math.sqrt(-2 * math.log(1 - 0.68))


class Receiver:
    """The receiver of one phone. Its errors are those of two first-order Gauss-Markov parts on each axis."""

    def __init__(self, worker, start: int = 1) -> None:
        self.worker = worker
        self.page = worker.page
        self.normal = random.Random(start).gauss

    def fix(self, lat: float, lon: float, acc: float = 4.0, **fields: float) -> None:
        """Give one fix."""
        self.page.evaluate("fix => __geo.fix(fix)", {"lat": lat, "lon": lon, "acc": acc, "alt": 80, **fields})

    def noisy(
        self, lat: float, lon: float, seconds: int, acc: float = 4.0, off: tuple[float, float] = (0, 0)
    ) -> list:
        """One fix a second about a place, `off` metres (east, north) beside it."""
        sigma = acc / R68_IN_SIGMA
        east, north = (self._errors(seconds, sigma, shift) for shift in off)
        across = METRES_TO_A_DEGREE * math.cos(math.radians(lat))
        return [
            {"lat": lat + dn / METRES_TO_A_DEGREE, "lon": lon + de / across, "acc": acc, "alt": 80}
            for de, dn in zip(east, north, strict=True)
        ]

    def _errors(self, count: int, sigma: float, shift: float) -> Iterator[float]:
        kept = math.exp(-1 / 60)
        slow = self.normal(0, sigma * 0.5)
        for _ in range(count):
            yield shift + slow + self.normal(0, sigma * 0.3)
            slow = slow * kept + self.normal(0, sigma * 0.5 * math.sqrt(1 - kept * kept))

    def play(self, fixes: list, more_s: float = 0.5) -> None:
        """Play fixes, one a second, and put the clock on to a little after the last."""
        self.page.evaluate("fixes => __geo.play(fixes, 1000)", fixes)
        self.page.clock.run_for(int(1000 * (len(fixes) + more_s)))


@pytest.fixture
def receiving(demo, phone) -> Callable[..., Receiver]:
    """A function that opens a bunker on a phone with a receiver in the test's hands, and starts."""

    def begin(
        bunker: str = "4-right",
        chosen: str = "phone",
        query: str = "",
        before: str = "",
        size: tuple[int, int] = (360, 740),
        is_kept: bool = False,
    ) -> Receiver:
        worker = phone(demo.address, is_kept=is_kept)
        worker.page.set_viewport_size({"width": size[0], "height": size[1]})
        worker.context.add_init_script(path=STUB)
        if before:
            worker.context.add_init_script(before)
        worker.page.clock.install()
        worker.open(SITE, bunker, query)
        worker.start(chosen, person=bunker)
        return Receiver(worker)

    return begin


@pytest.fixture(scope="session")
def peg_places() -> dict[str, tuple[float, float]]:
    """The pegs of the site as (lat, lon), by the site's own grid."""
    site, grid = load_checked_site(REPOSITORY / "sample_sites" / SITE)
    places = {peg.id: grid.to_gnss([peg.x, peg.y]) for peg in site.pegs}
    return {name: (float(place[1]), float(place[0])) for name, place in places.items()}
