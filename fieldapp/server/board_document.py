"""What lies on a drawing board as JSON. Places and traces are course metres, lengths ground metres."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.model import Site, Tee
from fieldapp.model.keep_clear import KeepClear
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.play.line_of_play import line_of_play
from fieldapp.store.backdrops import Backdrop
from fieldapp.workflow.board import Board, BunkerOnBoard

Link = Callable[[str], str]


def board_document(board: Board, may_edit: bool, linked: Link) -> dict[str, Any]:
    """Return a board as a JSON object.

    `may_edit` says whether the visitor may change drafts; `linked` makes the visitor's address of one of the server's.
    """
    standing, hole = board.standing, board.hole
    site = standing.site
    green = np.array([hole.green_x, hole.green_y])
    return {
        "site": {"id": site.id, "name": site.name},
        "hole": {
            "number": hole.number,
            "name": hole.name,
            "green": [hole.green_x, hole.green_y],
            "fairway": _places(hole.fairway),
        },
        "version": standing.sequence,
        "ground_scale": standing.ground_scale(hole.number),
        "convergence_deg": float(standing.grid.convergence_deg(green)),
        "units": {"yardage": site.units.yardage, "ground": site.units.ground},
        "rules": {
            "spacing_m": site.rules.spacing_m,
            "sagitta_m": site.rules.sagitta_m,
            "tolerance_m": site.rules.tolerance_m,
        },
        "tees": [_tee(site, tee) for tee in site.tees_of(hole.number)],
        "pegs": [_peg(peg) for peg in board.pegs],
        "bunkers": [_bunker(bunker) for bunker in board.bunkers],
        "taken": list(board.taken),
        "keep_clear": [_keep_clear(thing) for thing in site.keep_clear],
        "backdrops": [_backdrop(picture, linked) for picture in board.backdrops],
        "may_edit": may_edit,
    }


def _tee(site: Site, tee: Tee) -> dict[str, Any]:
    line = _places(line_of_play(site, tee).vertices)
    return {"id": tee.id, "name": tee.name, "x": tee.x, "y": tee.y, "line": line}


def _peg(standing: StandingPeg) -> dict[str, Any]:
    peg = standing.peg
    return {"id": peg.id, "kind": peg.kind, "x": peg.x, "y": peg.y, "within_m": standing.within_m}


def _bunker(bunker: BunkerOnBoard) -> dict[str, Any]:
    outlines = [
        {"id": one.id, "part": one.part, "closed": one.closed, "trace": _places(np.round(one.trace, 4))}
        for one in bunker.outlines
    ]
    return {
        "id": bunker.id,
        "name": bunker.name,
        "revision": bunker.revision,
        "outlines": outlines,
        "draft_number": bunker.draft_number,
    }


def _keep_clear(thing: KeepClear) -> dict[str, Any]:
    return {
        "id": thing.id,
        "kind": thing.kind,
        "name": thing.name,
        "extent": thing.extent,
        "points": _places(thing.points),
        "clearance_m": thing.clearance_m,
        "note": thing.note,
        "is_service": thing.is_service,
    }


def _backdrop(picture: Backdrop, linked: Link) -> dict[str, Any]:
    return {
        "id": picture.id,
        "name": picture.name,
        "width": picture.width,
        "height": picture.height,
        "world": list(picture.world),
        "url": linked(f"/api/sites/{picture.site_id}/backdrops/{picture.id}/picture"),
        "fitted_by": picture.fitted_by,
    }


def _places(xy: ArrayLike) -> list[list[float]]:
    places: list[list[float]] = np.asarray(xy, dtype=float).reshape(-1, 2).tolist()
    return places
