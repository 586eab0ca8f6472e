// The order of records on this phone, and which of the sent ones may go. An entry is {record, nth, ackedAt}; `nth` counts
// upward as records are added, because two can be made in one millisecond, and a clock can be put back between two.

/** Entries as they were added, and where that does not tell, by their time. The storage itself gives them in the order of their ids. */
export function inOrder(entries) {
  const later = (a, b) => (a < b ? -1 : Number(a > b));
  return [...entries].sort((a, b) => (a.nth ?? 0) - (b.nth ?? 0) || later(a.record.made_at, b.record.made_at));
}

/** The number for the next entry. */
export function nextNth(entries) {
  return entries.reduce((most, { nth }) => Math.max(most, nth ?? 0), 0) + 1;
}

/**
 * Sent entries that may be forgotten: the server has told since `seenAt` what it holds, and at least `most` newer ones
 * stay. A mark and the record that takes it back go together, so that no mark stands again for want of its undo.
 */
export function forgettable({ sent, outbox }, seenAt, most) {
  const waiting = new Set(outbox.map(markIdOf));
  const families = [...familiesOf(sent).entries()]
    .filter(([id, members]) => !waiting.has(id) && members.every((e) => e.ackedAt < seenAt))
    .map(([, members]) => ({ members, newest: Math.max(...members.map((e) => e.ackedAt)) }))
    .sort((a, b) => b.newest - a.newest);
  let count = 0;
  return families.filter(({ members }) => { count += members.length; return count > most; }).flatMap(({ members }) => members);
}

/** The id of the mark an entry is about. */
const markIdOf = ({ record }) => (record.kind === 'undo' ? record.undoes : record.id);

function familiesOf(entries) {
  const families = new Map();
  entries.forEach((e) => families.set(markIdOf(e), (families.get(markIdOf(e)) ?? []).concat([e])));
  return families;
}
