"""The folders that ship with the program: the web pages and the sample sites."""

from __future__ import annotations

from pathlib import Path

from fieldapp.errors import StoreError

PACKAGE = Path(__file__).resolve().parent


def shipped_folder(name: str) -> Path:
    """Return a folder that ships with the program.

    An installed package holds it under `shipped/`; in a checkout it lies beside the package.
    Raises StoreError.
    """
    for folder in (PACKAGE / "shipped" / name, PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise StoreError(f"The folder '{name}' that ships with fieldapp is not there; install fieldapp again.")


def web_folder() -> Path:
    """Return the folder of templates, styles and scripts."""
    return shipped_folder("web")


def sample_site_folders() -> tuple[Path, ...]:
    """Return the folders of the sample sites, by name."""
    return tuple(sorted(site.parent for site in shipped_folder("sample_sites").glob("*/site.toml")))
