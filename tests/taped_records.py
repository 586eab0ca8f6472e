"""Records of distances taped between invented pegs of the small site, for tests that reckon them."""

import math

from tests.field_records import taped_document

PLACES = {"r1": (1010.0, 2190.0), "r2": (1030.0, 2191.0), "r3": (1029.0, 2208.0), "r4": (1009.0, 2207.0)}
SIX = [("r1", "r2"), ("r1", "r3"), ("r1", "r4"), ("r2", "r3"), ("r2", "r4"), ("r3", "r4")]


def taped(standing, ends=SIX, moved=None, **changes):
    """A record of distances between PLACES, of which `moved` (peg, dx, dy) truly is elsewhere."""
    scale = standing.ground_scale(1)
    true = dict(PLACES)
    if moved is not None:
        true[moved[0]] = (true[moved[0]][0] + moved[1], true[moved[0]][1] + moved[2])
    pegs = [{"peg": peg, "x": x, "y": y, "within_m": 0.01} for peg, (x, y) in PLACES.items()]
    lines = [
        {"one": a, "other": b, "distance_m": scale * math.dist(true[a], true[b]), "level_difference_m": None}
        for a, b in ends
    ]
    return taped_document(pegs=pegs, lines=lines, **{"verdict": "all fit", **changes})
