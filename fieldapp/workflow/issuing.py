"""A new revision of a bunker: it becomes a new version of its site, and a row that says who issued it, when and why."""

from __future__ import annotations

import hashlib
import string
from dataclasses import replace
from itertools import chain

from fieldapp.errors import ConflictError, SiteFolderError
from fieldapp.formats.site_folder import check_site_text, site_text
from fieldapp.model import Bunker, Site
from fieldapp.store.engine import Transaction
from fieldapp.store.issues import Issue, add_issue
from fieldapp.store.sites import add_version
from fieldapp.workflow.sites import versions_in

LAST_LETTERS, LAST_NUMBER = "ZZZ", 9999
"""The last revisions of each kind that one can be called."""


def with_bunker(site: Site, bunker: Bunker) -> Site:
    """Return the site with a bunker in the place of the one of its id, or after the others where there is none."""
    if all(one.id != bunker.id for one in site.bunkers):
        return replace(site, bunkers=(*site.bunkers, bunker))
    return replace(site, bunkers=tuple(bunker if one.id == bunker.id else one for one in site.bunkers))


def checked_text(site: Site, what: str, remedy: str) -> str:
    """Return the site as text once all that a site folder is checked for holds of it.

    `what` begins the refusal and `remedy` ends it; raises ConflictError.
    """
    text = site_text(site)
    try:
        check_site_text(text)
    except SiteFolderError as fault:
        raise ConflictError(f"{what}: {fault.mistakes[0].what}; {remedy}.") from fault
    return text


def add_revision(transaction: Transaction, text: str, issue: Issue) -> None:
    """Add the site version `text` and what is told of it; the site version of `issue` is filled in here."""
    told = f"revision {issue.revision} of bunker {issue.bunker_id}, issued by {issue.person}"
    content_id = hashlib.sha256(text.encode()).hexdigest()
    sequence = add_version(transaction, issue.site_id, content_id, text, issue.issued_at, told)
    add_issue(transaction, replace(issue, site_version=sequence))


def used_revisions(transaction: Transaction, site_id: str, bunker_id: str) -> set[str]:
    """Return every revision that a bunker ever had here."""
    every = versions_in(transaction, site_id)
    return {bunker.revision for version in every for bunker in version.site.bunkers if bunker.id == bunker_id}


def next_revision(standing: str, used: set[str]) -> str:
    """Return the next letters after those that stand, A to Z, then AA, to ZZZ, that this bunker never had.

    After a whole number comes the next number, to 9999; after anything else, and after the last, it begins at A.
    """
    had = {each.upper() for each in used}
    if standing.isdecimal():
        following = max(int(each) for each in {standing, *used} if each.isdecimal()) + 1
        if following <= LAST_NUMBER:
            return str(following)
    letters = string.ascii_uppercase
    known = bool(standing) and all(letter in letters for letter in standing)
    last, number = _number(LAST_LETTERS), _number(standing) if known else 0
    every = chain(range(number + 1, last + 1), range(1, last + 1))
    return next((name for name in map(_letters, every) if name not in had), "")


def _number(revision: str) -> int:
    number = 0
    for letter in revision:
        number = number * 26 + string.ascii_uppercase.index(letter) + 1
    return number


def _letters(number: int) -> str:
    text = ""
    while number > 0:
        number, rest = divmod(number - 1, 26)
        text = string.ascii_uppercase[rest] + text
    return text
