"""What a dig must keep clear of, changed at the desk: a new version of the site, which says who made it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from fieldapp.errors import ConflictError, InputError, StaleError
from fieldapp.formats.moments import time_words
from fieldapp.formats.sentences import listed
from fieldapp.model import Hole, KeepClear, Site
from fieldapp.outline.clearance import away_from_lines
from fieldapp.play.line_of_play import line_of_play
from fieldapp.store.engine import Store
from fieldapp.store.sites import SiteVersion, add_version, versions
from fieldapp.workflow.drafting import Basis
from fieldapp.workflow.issuing import checked_text
from fieldapp.workflow.kept_things import TOLD
from fieldapp.workflow.sites import StandingSite, opened_version, standing_in, standing_site

Things = tuple[KeepClear, ...]
NEAR_M = 60.0
"""A thing within so many ground metres of a hole is shown with it."""


@dataclass(frozen=True)
class LastChange:
    """Who last changed what to keep clear of here, and when."""

    person: str
    at: datetime


def set_keep_clear(
    store: Store, site_id: str, things: Things, person: str, basis: Basis, at: datetime
) -> StandingSite:
    """Put things in the place of those that stand, as a new version of the site, and return what stands then.

    `basis` names the version that they were made from; a version whose things are those that stand does as well, since
    nothing is lost. The same things again make no new version. Raises NotFoundError, InputError for what a site cannot
    have, and StaleError in words where somebody changed them meanwhile.
    """
    standing = standing_site(store, site_id)
    _check_basis(store, standing, basis, at)
    if things == standing.site.keep_clear:
        return standing
    text = _checked(replace(standing.site, keep_clear=things))
    content_id = hashlib.sha256(text.encode()).hexdigest()
    with store.writing() as transaction:
        now_standing = standing_in(transaction, site_id)
        if now_standing.sequence == standing.sequence:
            add_version(transaction, site_id, content_id, text, at, f"{TOLD}{person}")
            return standing_in(transaction, site_id)
    _check_basis(store, now_standing, basis, at)
    raise ConflictError("The site changed at this very moment; send it once more.")


def last_change(store: Store, site_id: str) -> LastChange | None:
    """Return who last changed what to keep clear of at the desk; None where nobody did."""
    with store.reading() as transaction:
        for version in versions(transaction, site_id):
            if version.loaded_from.startswith(TOLD):
                return LastChange(version.loaded_from.removeprefix(TOLD), version.loaded_at)
    return None


def thing_changes(before: Things, after: Things) -> Iterator[str]:
    """Yield what was changed, each as what somebody did: "added the drain 'drain-4'"."""
    old, new = ({thing.id: thing for thing in things} for things in (before, after))
    yield from (f"took {_called(thing)} away" for name, thing in old.items() if name not in new)
    for name, thing in new.items():
        if name not in old:
            yield f"added {_called(thing)}"
        elif thing != old[name]:
            yield f"changed {_called(thing)}"
    if list(old) != list(new) and set(old) == set(new):
        yield "put them in another order"


def _called(thing: KeepClear) -> str:
    return f"the {thing.kind} '{thing.name or thing.id}'"


def _checked(site: Site) -> str:
    try:
        return checked_text(site, "This cannot be kept", "nothing was changed")
    except ConflictError as fault:
        raise InputError(str(fault)) from fault


def _check_basis(store: Store, standing: StandingSite, basis: Basis, now: datetime) -> None:
    """Raise StaleError, saying who changed what, where a basis is not what stands nor had the same things."""
    if basis.holds(standing.sequence, stands=True):
        return
    with store.reading() as transaction:
        held = versions(transaction, standing.site.id)
    named = [version for version in held if str(version.sequence) in basis.numbers]
    base = named[0] if named else None
    standing_things = standing.site.keep_clear
    if base is not None and opened_version(base).keep_clear == standing_things:
        return
    changes = [] if base is None else list(_story(held[: held.index(base) + 1], now))
    what = "; ".join(changes) or "The things that stand are others than yours were made from"
    told = {"changes": changes, "version": standing.sequence}
    raise StaleError(f"{what}. Yours is not kept: look at what stands now and choose.", told)


def _story(since: Sequence[SiteVersion], now: datetime) -> Iterator[str]:
    """Yield a sentence for each version that changed the things; `since` are versions, newest first."""
    things = [opened_version(version).keep_clear for version in since]
    for at in range(len(since) - 2, -1, -1):
        did = list(thing_changes(things[at + 1], things[at]))
        if did:
            told = since[at].loaded_from
            who = told.removeprefix(TOLD) if told.startswith(TOLD) else "Somebody who loaded the site"
            yield f"{who} {listed(did)} {time_words(since[at].loaded_at, now)}"


@dataclass(frozen=True)
class OnHole:
    """The things of a site that lie on a hole or near it, and the others."""

    near: Things
    elsewhere: Things


def near_hole(standing: StandingSite, hole: Hole) -> OnHole:
    """Return the things within 60 ground metres of a hole's lines of play, fairway or bunkers, and the others."""
    site, scale = standing.site, standing.ground_scale(hole.number)
    lines = [line_of_play(site, tee).vertices for tee in site.tees_of(hole.number)]
    lines += [
        outline.trace()
        for one in standing.bunkers
        if one.bunker.hole == hole.number
        for outline in one.outlines
    ]
    lines += [np.array([*hole.fairway, hole.fairway[0]])] if hole.fairway else []
    away = {thing.id: away_from_lines(thing, lines) * scale for thing in site.keep_clear}
    return OnHole(
        tuple(thing for thing in site.keep_clear if away[thing.id] <= NEAR_M),
        tuple(thing for thing in site.keep_clear if away[thing.id] > NEAR_M),
    )
