"""Holes for the tests of play: a plate, a green, bunkers placed by play or drawn on the grid."""

from fieldapp.model import (
    Bunker,
    ControlPoint,
    DrawnShape,
    Hole,
    LocalGrid,
    Outline,
    Site,
    Tee,
)
from fieldapp.outline.laid_out import lay_out_bunker
from fieldapp.play.hole_yardages import hole_yardages

GRID = LocalGrid(53.6, -5.0)


def bunker(shape, place=None, name="b", level_m=None, **more):
    """A bunker with one sand edge of this shape."""
    return Bunker(name, 1, name, "A", (Outline("sand", "sand edge", shape, level_m),), place, **more)


def site_of(bunkers, tees=((0.0, 0.0),), turning_points=(), green=(0.0, 400.0), fairway=(), levels_m=(None,)):
    """A site of one hole; its tees are called plate, plate2 and so on."""
    levels_m = (*levels_m, *[None] * len(tees))
    return Site(
        id="s",
        name="S",
        grid=GRID,
        tees=tuple(
            Tee(f"plate{number if number > 1 else ''}", 1, f"Tee {number}", x, y, levels_m[number - 1])
            for number, (x, y) in enumerate(tees, 1)
        ),
        holes=(Hole(1, "First", *green, tuple(turning_points), None, tuple(fairway)),),
        bunkers=tuple(bunkers),
    )


def one_bunker(shape, place=None, **hole):
    """A site of one hole with one bunker of this shape."""
    return site_of((bunker(shape, place),), **hole)


def drawn(*corners, curve="straight", closed=True):
    """A shape through these corners."""
    return DrawnShape(tuple(ControlPoint(*corner) for corner in corners), curve, closed)


def rectangle(left, right, near, far):
    """A rectangle, on the grid where its bunker has no place."""
    return drawn((left, near), (right, near), (right, far), (left, far))


def table(site, aim=None, scale=1.0):
    """The rows of the hole's table."""
    bunkers = [lay_out_bunker(site, bunker, scale) for bunker in site.bunkers]
    return hole_yardages(site, bunkers, 1, scale, aim)
