"""A length as a person types it: a number, with or without its unit."""

from __future__ import annotations

import re
from decimal import Decimal

from fieldapp.errors import InputError
from fieldapp.formats.lengths import METRES_PER_SUFFIX, SUFFIX_OF, to_metres
from fieldapp.model.units import YardageUnit

_LENGTH = re.compile(r"([+-]?[0-9]{1,6}(?:\.[0-9]{1,6})?) ?(m|yd|ft)?")


def typed_length_m(text: str, unit: YardageUnit, what: str, low_m: float, high_m: float) -> float:
    """Return a typed length such as 240, 240yd or 219.5 m in metres; without a unit it is in the site's.

    `what` names it in the InputError that anything else, or a length outside the limits, raises.
    """
    found = _LENGTH.fullmatch(text.strip().replace("\N{MINUS SIGN}", "-"))
    suffix = SUFFIX_OF[unit]
    if found is None:
        raise InputError(
            f"'{text}' is no length for {what}; give figures such as 240yd or 220m; without a unit they are {suffix}."
        )
    length_m = to_metres(Decimal(found[1]), METRES_PER_SUFFIX[found[2] or suffix])
    if low_m <= length_m <= high_m:
        return length_m
    low, high = (f"{limit / float(METRES_PER_SUFFIX[suffix]):.0f}" for limit in (low_m, high_m))
    raise InputError(f"'{text}' cannot be {what}; give from {low} to {high} {suffix}.")
