"""What was changed at the desk of the things to keep clear of is not lost by a load of the site."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fieldapp.errors import ConflictError
from fieldapp.model import Site
from fieldapp.store.sites import SiteVersion

TOLD = "what to keep clear of, changed by "
"""Begins what is told of a site version that was made at the desk; the person follows."""


def check_keeps_things(site: Site, held: Sequence[SiteVersion], opened: Callable[[str], Site]) -> None:
    """Refuse a site folder with the things of before they were changed at the desk; raises ConflictError.

    `held` are the versions of the site, newest first, `opened` reads a version's text.
    """
    changed = next((at for at, version in enumerate(held) if version.loaded_from.startswith(TOLD)), None)
    if changed is None or site.keep_clear == opened(held[0].document).keep_clear:
        return
    if any(site.keep_clear == opened(version.document).keep_clear for version in held[changed + 1 :]):
        raise ConflictError(
            f"The folder of site '{site.id}' has what to keep clear of as it was before "
            f"{held[changed].loaded_from.removeprefix(TOLD)} changed it here; write the standing site out with "
            f"'fieldapp site write {site.id} DIR --data …' and go on from that folder."
        )
