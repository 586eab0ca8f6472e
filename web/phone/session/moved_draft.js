// Distances being taped to see whether a peg has moved, kept on the phone with every change.

const VERSION = 1;

/** The name under which they are kept; those typed while practising are others. */
export const movedKey = ({ bundle, bunkerId, practice }) => `moved ${bundle.site.id} ${bunkerId}${practice === null ? '' : ' practice'}`;

/** A new draft: `id` is that of the record it will make, `lines` [[one, other]] the distances to tape. */
export function newMoved(id, lines, at) {
  return { version: VERSION, id, startedAt: at, lines: lines.map(([one, other]) => ({ one, other, typed: '' })) };
}

/** What was kept, or null where there is none that this page can read. */
export function movedFrom(kept) {
  const isOurs = kept?.version === VERSION && typeof kept.id === 'string' && Number.isFinite(kept.startedAt) && Array.isArray(kept.lines);
  return isOurs ? kept : null;
}

/** Whether something was typed that was never saved. */
export const isUnsaved = (job, draft) => movedState(job, draft) === 'open' && draft.lines.some(({ typed }) => typed !== '');

/** 'open', 'saved' or 'taken back': what became of the record of a draft. */
export function movedState({ own }, { id }) {
  if (!own.some((record) => record.id === id)) return 'open';
  return own.some(({ kind, undoes }) => kind === 'undo' && undoes === id) ? 'taken back' : 'saved';
}
