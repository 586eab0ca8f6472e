"""The site that stands, written out as a folder to go on from."""

from __future__ import annotations

from pathlib import Path

from fieldapp.errors import InputError
from fieldapp.formats.site_folder import save_site
from fieldapp.model import Site
from fieldapp.store.engine import Store
from fieldapp.workflow.sites import standing_site


def write_site(store: Store, site_id: str, folder: Path) -> Site:
    """Write the site that stands into a new or empty folder, and return it.

    Raises NotFoundError for a site that was never loaded, InputError for a folder that holds something or cannot be
    written to: what a person wrote there is never overwritten.
    """
    site = standing_site(store, site_id).site
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise InputError(
                f"'{folder}' holds something already and nothing is overwritten; name a new folder."
            )
        save_site(site, folder)
    except OSError as fault:
        raise InputError(
            f"'{folder}' cannot be written to ({fault.strerror}); name another folder."
        ) from fault
    return site
