"""A site folder: `site.toml` and the files it names, read, checked as a whole, and written."""

from __future__ import annotations

from pathlib import Path

from fieldapp.errors import Mistake, SiteFolderError
from fieldapp.formats.named_files import Files, FolderFiles
from fieldapp.formats.site_check import check_reading
from fieldapp.formats.site_mistakes import SITE_FILE
from fieldapp.formats.site_reading import Reading, read_site
from fieldapp.formats.site_writing import LEVELS_FILE, site_and_levels, site_text
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import Site

__all__ = [
    "check_site",
    "check_site_files",
    "check_site_text",
    "load_checked_site",
    "load_site",
    "read_site_text",
    "save_site",
    "site_text",
]


def read_site_text(document: str, files: Files | None = None) -> Site:
    """Read a site from its text; `files` holds what it names. Raises SiteFolderError with every mistake."""
    reading = read_site(document, files or {})
    reading.findings.raise_if_any()
    return reading.site


def load_site(folder: Path) -> Site:
    """Read a site folder, computing nothing; raises SiteFolderError with every mistake of the files."""
    reading = _read_folder(folder)
    reading.findings.raise_if_any()
    return reading.site


def check_site(folder: Path) -> Site:
    """Read a site folder and compute all it holds; raises SiteFolderError with every mistake there is."""
    return load_checked_site(folder)[0]


def load_checked_site(folder: Path) -> tuple[Site, CourseGrid]:
    """Do as `check_site` and return the course grid too, which is costly to build."""
    reading = _read_folder(folder)
    grid = check_reading(reading)
    reading.findings.raise_if_any()
    assert grid is not None
    return reading.site, grid


def check_site_text(document: str) -> Site:
    """Do as `check_site` with the whole text of a site, which names no files."""
    return check_site_files(document, {})


def check_site_files(document: str, files: Files) -> Site:
    """Do as `check_site` with the text of a site file and the files beside it."""
    reading = read_site(document, files)
    check_reading(reading)
    reading.findings.raise_if_any()
    return reading.site


def save_site(site: Site, folder: Path) -> None:
    """Write a site into a folder: site.toml, with the outlines within it, and the spot levels as a file.

    What a person had written there, remarks and all, is overwritten.
    """
    text, levels = site_and_levels(site)
    folder.mkdir(parents=True, exist_ok=True)
    if levels is not None:
        (folder / LEVELS_FILE).write_text(levels, encoding="utf-8")
    (folder / SITE_FILE).write_text(text, encoding="utf-8")


def _read_folder(folder: Path) -> Reading:
    file = folder / SITE_FILE
    try:
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise _cannot_read(file, "the file is not UTF-8 text", "save it as plain text in UTF-8") from error
    except NotADirectoryError as error:
        raise _cannot_read(folder, "it is no folder", f"name the folder that holds {SITE_FILE}") from error
    except FileNotFoundError as error:
        raise _cannot_read(
            file, "there is no such file", f"name a folder that holds a {SITE_FILE}"
        ) from error
    except OSError as error:
        raise _cannot_read(file, f"it cannot be read ({error.strerror})", "make it readable") from error
    return read_site(text, FolderFiles(folder))


def _cannot_read(file: Path, what: str, remedy: str) -> SiteFolderError:
    return SiteFolderError((Mistake(str(file), what, remedy),))
