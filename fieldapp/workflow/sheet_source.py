"""Which bunker a set-out sheet is drawn from: the one that stands, an earlier revision, or a draft."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import datetime

from fieldapp.errors import NotFoundError, OutlineError
from fieldapp.formats.draft import read_draft
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.store.drafts import KeptDraft, newest_draft
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.issues import Issue, issues_of
from fieldapp.workflow.sites import StandingSite, laid_out, standing_in, versions_in


@dataclass(frozen=True)
class SheetSource:
    """A bunker laid out on the version of its site that it belongs to.

    Of a revision: `since` is when it first stood here, `issue` who issued it, None where it came with the site's
    folder, and `stands` the revision that stands now, "" where the bunker is in the plan no more. Of a draft, `draft`
    is its newest save.
    """

    standing: StandingSite
    laid_out: LaidOutBunker
    since: datetime
    stands: str
    issue: Issue | None = None
    draft: KeptDraft | None = None

    @property
    def is_superseded(self) -> bool:
        """Whether another revision, or none, stands in the place of this one."""
        return self.draft is None and self.stands != self.laid_out.bunker.revision

    @property
    def ground_scale(self) -> float:
        """Ground metres per course metre on the bunker's hole."""
        return self.standing.ground_scale(self.laid_out.bunker.hole)


def revision_source(store: Store, site_id: str, bunker_id: str, revision: str = "") -> SheetSource:
    """Return a bunker in a revision, without one in that which stands; raises NotFoundError naming what there is."""
    with store.reading() as transaction:
        standing_in(transaction, site_id)
        held = versions_in(transaction, site_id)
        issues = issues_of(transaction, site_id)
    stands = _revision_in(held[0], bunker_id)
    if not revision and not stands:
        held[0].site.bunker(bunker_id)
    wanted = revision or stands
    having = [version for version in held if _revision_in(version, bunker_id) == wanted]
    if not having:
        known = dict.fromkeys(_revision_in(version, bunker_id) for version in reversed(held))
        names = ", ".join(one for one in known if one) or "none"
        raise NotFoundError(
            f"There is no revision '{wanted}' of bunker '{bunker_id}' of site '{site_id}'; there are: {names}."
        )
    issued = [one for one in issues if (one.bunker_id, one.revision) == (bunker_id, wanted)]
    found = next(one for one in having[0].bunkers if one.bunker.id == bunker_id)
    return SheetSource(having[0], found, having[-1].loaded_at, stands, issued[-1] if issued else None)


def draft_source(store: Store, site_id: str, bunker_id: str) -> SheetSource:
    """Return a bunker as its open draft has it.

    Raises NotFoundError where there is none, OutlineError where it cannot be laid out.
    """
    with store.reading() as transaction:
        standing = standing_in(transaction, site_id)
        kept = _open_draft(transaction, site_id, bunker_id)
    drawn = read_draft(json.loads(kept.document)).bunker
    if not drawn.outlines:
        raise OutlineError(f"Draft {kept.number} of bunker '{bunker_id}' has no outline yet; draw one first.")
    bunker = replace(drawn, revision=f"draft {kept.number}")
    laid = laid_out(standing.site, standing.grid, bunker)
    return SheetSource(standing, laid, kept.made_at, _revision_in(standing, bunker_id), draft=kept)


def _open_draft(transaction: Transaction, site_id: str, bunker_id: str) -> KeptDraft:
    kept = newest_draft(transaction, site_id, bunker_id)
    if kept is None or kept.state != "open":
        raise NotFoundError(
            f"There is no open draft of bunker '{bunker_id}' of site '{site_id}'; open one on the drawing board first."
        )
    return kept


def _revision_in(version: StandingSite, bunker_id: str) -> str:
    """Return the revision of a bunker in a version of its site; "" where it has none."""
    return next((one.revision for one in version.site.bunkers if one.id == bunker_id), "")
