"""A site with a bunker of every kind of line, and things to keep clear of beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from fieldapp.formats.site_folder import check_site, site_text
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import (
    Bunker,
    ControlPoint,
    DrawnShape,
    KeepClear,
    Kidney,
    Outline,
    Placement,
    ProjectedGrid,
)
from fieldapp.workflow.sites import StandingSite

SMALL_SITE = Path(__file__).parent / "small_site"
EVERY_KIND = (
    (
        "sand",
        "sand edge",
        DrawnShape(
            (
                ControlPoint(1040.0, 2210.0),
                ControlPoint(1046.0, 2214.0, "corner"),
                ControlPoint(1050.0, 2208.0),
                ControlPoint(1052.0, 2203.0, "through"),
                ControlPoint(1049.0, 2199.0),
                ControlPoint(1043.5, 2201.25),
                ControlPoint(1041.0, 2204.0, "corner"),
            )
        ),
    ),
    (
        "foot",
        "mound foot",
        DrawnShape(
            (
                ControlPoint(1060.0, 2200.0),
                ControlPoint(1064.0, 2200.0),
                ControlPoint(1067.5, 2203.0, "through"),
                ControlPoint(1064.0, 2206.0),
                ControlPoint(1062.0, 2204.5, "through"),
                ControlPoint(1060.0, 2206.0),
            ),
            "straight",
        ),
    ),
    (
        "swale",
        "swale",
        DrawnShape(
            (
                ControlPoint(1035.0, 2190.0),
                ControlPoint(1042.0, 2192.0),
                ControlPoint(1050.0, 2189.0),
                ControlPoint(1058.0, 2193.0, "through"),
                ControlPoint(1066.0, 2190.0),
            ),
            "smooth",
            False,
        ),
    ),
    (
        "top",
        "mound top",
        DrawnShape(
            tuple(
                ControlPoint(x, y)
                for x, y in ((1044.0, 2225.0), (1050.0, 2227.5), (1055.0, 2224.0), (1051.0, 2219.0))
            )
        ),
    ),
)
THINGS = (
    KeepClear("d1", "drain", "Main drain", "line", ((1030.0, 2180.0), (1060.0, 2185.0)), 1.5),
    KeepClear("c1", "cable", "", "area", ((1070.0, 2200.0), (1075.0, 2200.0), (1075.0, 2210.0)), 1.0),
    KeepClear("t1", "tree", "Pine", "point", ((1030.0, 2215.0),), 4.0),
    KeepClear("far", "pipe", "Far pipe", "line", ((3000.0, 2000.0), (3000.0, 2100.0)), 1.0),
)


def standing(projected: bool = False, things: tuple[KeepClear, ...] = THINGS) -> StandingSite:
    """Return a version of a site with the bunker 'lines' of drawn lines and 'bean', a kidney placed by play."""
    site = check_site(SMALL_SITE)
    outlines = tuple(Outline(name, part, shape) for name, part, shape in EVERY_KIND)
    drawn = Bunker("lines", 1, "Every line", "C", outlines)
    bean = Bunker(
        "bean",
        1,
        "Bean",
        "B",
        (Outline("sand", "sand edge", Kidney(12.0, 7.0, 1.4)),),
        Placement("white", 230.0, 18.0, 35.0),
    )
    site = replace(site, bunkers=(*site.bunkers, drawn, bean), keep_clear=things)
    if projected:
        site = replace(site, grid=ProjectedGrid("EPSG:32629", 60.0), pegs=())
    return StandingSite(
        site, build_grid(site.grid, site.pegs), "0", 1, datetime(2026, 5, 1, tzinfo=UTC), site_text(site)
    )
