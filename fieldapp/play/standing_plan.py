"""The standing plan: what a bunker is meant to measure from its tee."""

from __future__ import annotations

from fieldapp.model import Bunker, Plan


def standing_plan(bunker: Bunker) -> Plan | None:
    """Return the bunker's plan; one placed by play without a plan of its own is planned where it is placed."""
    if bunker.plan is not None or bunker.place is None:
        return bunker.plan
    place = bunker.place
    return Plan(tee=place.tee, along_m=place.along_m, offset_m=place.offset_m)
