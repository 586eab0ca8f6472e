// Distances being taped to see whether a peg has moved, kept on the phone with every change.

const VERSION = 1;
const OLD_MS = 12 * 3600e3;

/** The name under which they are kept; those typed while practising are others. */
export const movedKey = ({ bundle, bunkerId, practice }) => `moved ${bundle.site.id} ${bunkerId}${practice === null ? '' : ' practice'}`;

/** A new draft: `id` is that of the record it will make, `lines` [[one, other]] the distances to tape. */
export function newMoved(id, lines, at) {
  return { version: VERSION, id, startedAt: at, lines: lines.map(([one, other]) => ({ one, other, typed: '' })) };
}

/** What was kept, or null where there is none that this page can read, or where it is of another day and stands saved. */
export function movedFrom(kept, own, nowMs) {
  const isOurs = kept?.version === VERSION && typeof kept.id === 'string' && Number.isFinite(kept.startedAt) && Array.isArray(kept.lines);
  if (!isOurs) return null;
  const isOld = Math.abs(nowMs - kept.startedAt) > OLD_MS;
  return isOld && (own.some(({ id }) => id === kept.id) || kept.lines.every(({ typed }) => typed === '')) ? null : kept;
}

/** 'open', 'saved' or 'taken back': what became of the record of a draft. */
export function movedState({ own }, { id }) {
  if (!own.some((record) => record.id === id)) return 'open';
  return own.some(({ kind, undoes }) => kind === 'undo' && undoes === id) ? 'taken back' : 'saved';
}
