"""A site made or changed on the page: begun as a draft, saved part by part, and loaded once it is whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from fieldapp.errors import ConflictError, InputError, NotFoundError
from fieldapp.formats.site_draft import (
    SiteDraft,
    Tables,
    begin_tables,
    draft_text,
    read_site_draft,
    read_tables,
    tables_of,
)
from fieldapp.formats.site_lacks import lacks_of
from fieldapp.model import Site
from fieldapp.store.drafts import (
    WHOLE_SITE,
    DraftState,
    KeptDraft,
    add_draft,
    drafted_sites,
    drafts_of,
    newest_draft,
)
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.sites import site_ids, standing_version, version_at, versions
from fieldapp.workflow.issuing import checked_text
from fieldapp.workflow.sites import NOT_AN_ID, LoadedSite, load_text_in

OWN_TABLES = ("name", "note", "units", "grid", "hole", "tee", "peg", "spot_levels")
"""What the pages of a draft change; all else of a site is taken from the version that stands."""
LONGEST_NAME = 120


@dataclass(frozen=True)
class OpenedAt:
    """What a page was filled from: the save, and the site version (its sequence) below it, None for a new site."""

    number: int
    version: int | None = None


@dataclass(frozen=True)
class StandingDraft:
    """The draft of a site as it stands. `number` is that of its newest save, 0 before the first of a loaded site.

    `person` and `made_at` say who saved it and when; `is_open` is False where nothing waits to be loaded, `is_new`
    True where the site was never loaded.
    """

    site_id: str
    draft: SiteDraft
    number: int
    person: str
    made_at: datetime | None
    is_open: bool
    is_new: bool

    @property
    def tables(self) -> Tables:
        """The tables of the site as far as they are there."""
        return self.draft.tables

    @property
    def opened_at(self) -> OpenedAt:
        """What a page that shows this draft is filled from."""
        return OpenedAt(self.number, self.draft.from_version)

    @property
    def name(self) -> str:
        """The site's name, or its id where it has none."""
        return str(self.tables.get("name") or self.site_id)


def begin_site(store: Store, site_id: str, name: str, person: str, at: datetime) -> StandingDraft:
    """Begin the draft of a new site; raises InputError for a name that cannot be, ConflictError for an id in use."""
    if not name.strip() or len(name) > LONGEST_NAME:
        raise InputError(f"Give the site a name of at most {LONGEST_NAME} letters, such as Great Bank.")
    mistakes = read_tables(begin_tables(site_id, name)).findings.located
    if site_id in NOT_AN_ID or any(path == ("id",) for path, _ in mistakes):
        raise InputError(
            f"'{site_id[:60]}' cannot be the short name that stands in addresses; use up to 48 letters a to z, figures "
            "and hyphens, such as great-bank."
        )
    with store.writing() as transaction:
        if site_id in site_ids(transaction) or _open_draft(transaction, site_id) is not None:
            raise ConflictError(
                f"There is a site '{site_id}' here already; open it, or give this one another short name."
            )
        _save(transaction, site_id, SiteDraft(begin_tables(site_id, name)), "open", person, at)
    return draft_of(store, site_id)


def draft_of(store: Store, site_id: str) -> StandingDraft:
    """Return the draft of a site, or the site as it stands where none is open; raises NotFoundError."""
    with store.reading() as transaction:
        return draft_in(transaction, site_id)


def draft_in(transaction: Transaction, site_id: str) -> StandingDraft:
    """Do as `draft_of` within a transaction."""
    kept, version = newest_draft(transaction, site_id, WHOLE_SITE), standing_version(transaction, site_id)
    if kept is not None and kept.state == "open":
        draft = read_site_draft(kept.document)
        return StandingDraft(
            site_id, draft, kept.number, kept.person, kept.made_at, is_open=True, is_new=version is None
        )
    if version is None:
        known = ", ".join(site_ids(transaction)) or "none"
        raise NotFoundError(f"There is no site called '{site_id}'; there are: {known}.")
    draft = SiteDraft(tables_of(version.document), version.sequence)
    number = kept.number if kept else 0
    return StandingDraft(site_id, draft, number, "", None, is_open=False, is_new=False)


def tables_at(store: Store, site_id: str, opened: OpenedAt) -> Tables:
    """Return the tables of a draft as a page that was filled from `opened` showed them; nothing where it never was."""
    with store.reading() as transaction:
        return _tables_at(transaction, site_id, opened)


def open_drafts(store: Store) -> list[StandingDraft]:
    """Return the drafts of sites that wait to be loaded, in the order in which they were begun."""
    with store.reading() as transaction:
        return [
            draft_in(transaction, kept.site_id) for kept in drafted_sites(transaction) if kept.state == "open"
        ]


def save_part(
    store: Store,
    site_id: str,
    keys: Sequence[str],
    changed: Tables,
    opened: OpenedAt,
    person: str,
    at: datetime,
) -> StandingDraft:
    """Save what a page changed: `keys` are the tables it is about, `changed` the tables with its changes.

    `opened` is what the page was filled from. Where others saved or loaded other tables since, both are kept; raises
    ConflictError where one of `keys` is not as it was then.
    """
    with store.writing() as transaction:
        standing = draft_in(transaction, site_id)
        if standing.opened_at != opened and not _same(
            keys, standing.tables, _tables_at(transaction, site_id, opened)
        ):
            raise _saved_meanwhile(standing)
        tables = {key: value for key, value in standing.tables.items() if key not in keys}
        tables |= {key: changed[key] for key in keys if key in changed}
        _save(transaction, site_id, replace(standing.draft, tables=tables), "open", person, at)
    return draft_of(store, site_id)


def drop_draft(store: Store, site_id: str, number: int, person: str, at: datetime) -> None:
    """Give a draft up; what was loaded stands. Raises NotFoundError without one, ConflictError where saved since."""
    with store.writing() as transaction:
        standing = _expected(transaction, site_id, number)
        _save(transaction, site_id, standing.draft, "given up", person, at)


def load_draft(store: Store, site_id: str, number: int, person: str, at: datetime) -> LoadedSite:
    """Make a draft the site that stands, with the places that were read for it meanwhile.

    Raises InputError naming the first thing it lacks, and ConflictError as `load_site` does, or where
    another version was loaded since the draft was begun that changed what the draft is about.
    """
    with store.writing() as transaction:
        standing = _expected(transaction, site_id, number)
        lacks = lacks_of(standing.tables)
        if lacks:
            raise InputError(f"The site is not whole yet: {lacks[0].words}")
        site = _with_the_rest(transaction, standing, read_tables(standing.tables).site)
        text = checked_text(site, "The site cannot be loaded", "correct it, then load it")
        loaded = load_text_in(transaction, text, at, f"the page of the site, by {person}")
        _save(transaction, site_id, standing.draft, "issued", person, at)
    return loaded


def _with_the_rest(transaction: Transaction, standing: StandingDraft, site: Site) -> Site:
    """Return the draft's site with the bunkers and all else of the version that stands; raises ConflictError."""
    held = {version.sequence: version for version in versions(transaction, standing.site_id)}
    if not held:
        return site
    newest, base = held[max(held)], held.get(standing.draft.from_version or 0)
    now = tables_of(newest.document)
    if base is None or not _same(OWN_TABLES, now, tables_of(base.document)):
        raise ConflictError(
            f"The site was loaded anew from {newest.loaded_from} while this draft was open, with other tees, pegs, "
            "holes or grid. Give the draft up and begin from what stands."
        )
    rest = read_tables(now).site
    return replace(site, bunkers=rest.bunkers, keep_clear=rest.keep_clear, rules=rest.rules)


def _saved_meanwhile(theirs: StandingDraft) -> ConflictError:
    if not theirs.is_open:
        return ConflictError(
            "The site was loaded anew, or its draft given up, while you were at this part of it. What you typed is "
            "still in the fields: save it over what stands, or open the part again to see what stands."
        )
    return ConflictError(
        f"{theirs.person} saved this part of the site while you were at it (save {theirs.number}). What you typed is "
        "still in the fields: save it over theirs, or open the part again to see theirs."
    )


def _expected(transaction: Transaction, site_id: str, number: int) -> StandingDraft:
    standing = draft_in(transaction, site_id)
    if not standing.is_open:
        raise NotFoundError(f"No draft of the site '{site_id}' is open; change a part of it first.")
    if standing.number != number:
        raise _saved_meanwhile(standing)
    return standing


def _open_draft(transaction: Transaction, site_id: str) -> KeptDraft | None:
    kept = newest_draft(transaction, site_id, WHOLE_SITE)
    return kept if kept is not None and kept.state == "open" else None


def _tables_at(transaction: Transaction, site_id: str, opened: OpenedAt) -> Tables:
    saves = drafts_of(transaction, site_id, WHOLE_SITE)
    kept = next((kept for kept in saves if kept.number == opened.number), None)
    if kept is not None and kept.state == "open":
        return read_site_draft(kept.document).tables
    version = None if opened.version is None else version_at(transaction, site_id, opened.version)
    return tables_of(version.document) if version else {}


def _same(keys: Sequence[str], one: Tables, other: Tables) -> bool:
    return all(one.get(key) == other.get(key) for key in keys)


def _save(
    transaction: Transaction, site_id: str, draft: SiteDraft, state: DraftState, person: str, at: datetime
) -> None:
    before = newest_draft(transaction, site_id, WHOLE_SITE)
    number = before.number + 1 if before else 1
    add_draft(transaction, KeptDraft(site_id, WHOLE_SITE, number, state, draft_text(draft), person, at))
