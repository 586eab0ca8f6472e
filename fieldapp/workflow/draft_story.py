"""What became of a bunker's draft, save by save, and in sentences for somebody who comes second."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from fieldapp.formats.draft import read_draft
from fieldapp.formats.moments import time_words
from fieldapp.formats.sentences import listed
from fieldapp.model import Bunker
from fieldapp.store.drafts import KeptDraft
from fieldapp.store.engine import Transaction
from fieldapp.workflow.draft_changes import changes_between
from fieldapp.workflow.draft_origin import ground_words, grown_from
from fieldapp.workflow.sites import StandingSite

BEGAN = "began it as a new bunker"
ENDED = {"issued": "issued it", "given up": "gave the draft up"}


@dataclass(frozen=True)
class Step:
    """What one person did to a draft, each as "moved …", and when the last of it was kept."""

    person: str
    did: tuple[str, ...]
    at: datetime

    def sentence(self, now: datetime) -> str:
        """Return it as "Alex moved 3 points of the sand edge and changed the plan at 14:02 UTC"."""
        return f"{self.person} {listed(self.did)} {time_words(self.at, now)}"


def steps_after(
    transaction: Transaction, site: StandingSite, before: KeptDraft | None, saves: Sequence[KeptDraft]
) -> list[Step]:
    """Return what some saves did, oldest first, those of one person in a row as one step. What came to nothing is left
    out.

    `saves` come one after the other, `before` is the save before them, None where they begin with the first.
    """
    steps = []
    for _, run in groupby(saves, key=lambda kept: (kept.person, kept.state)):
        together = list(run)
        steps.append(_step(transaction, site, before, together))
        before = together[-1]
    return [step for step in steps if step.did]


def _step(
    transaction: Transaction, site: StandingSite, before: KeptDraft | None, together: Sequence[KeptDraft]
) -> Step:
    first, last = together[0], together[-1]
    if last.state != "open":
        return Step(last.person, (ENDED[last.state],), last.made_at)
    after = read_draft(json.loads(last.document))
    base = _base(transaction, site, first, before)
    if base is None:
        return Step(last.person, (BEGAN,), last.made_at)
    did = changes_between(base, after.bunker, ground_words(site, after.bunker))
    return Step(last.person, did, last.made_at)


def _base(
    transaction: Transaction, site: StandingSite, first: KeptDraft, before: KeptDraft | None
) -> Bunker | None:
    """Return what a save is to be compared with: the open one before it, or the revision that it grew from."""
    if before is not None and before.state == "open":
        return read_draft(json.loads(before.document)).bunker
    return grown_from(transaction, read_draft(json.loads(first.document)), site.site.id)
