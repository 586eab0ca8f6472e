// Which marks stand: those the server told of, with this phone's own on top. A mark of an older revision does not count.

/**
 * The marks that stand, each {id, bunker, outline, number, revision, person, made_at, own}; own ones with their device.
 *
 * `serverMarks` are real marks of everybody; `own` are this phone's records, oldest first. While practising only the
 * practice marks made since `practiceStart` (ISO time) count, and otherwise none of them does.
 */
export function standingMarks({ serverMarks, own, practice, practiceStart }) {
  const undos = own.filter((r) => r.kind === 'undo');
  const taken = new Set(undos.map((r) => takenBy(r.undoes, r.device)));
  const counted = own.filter((r) => r.kind === 'mark' && (practice ? r.practice && r.made_at >= practiceStart : !r.practice));
  const ours = counted.filter((r) => !taken.has(takenBy(r.id, r.device))).map(ownMark);
  if (practice) return ours;
  const ids = new Set(own.map((r) => r.id).concat(undos.map((r) => r.undoes)));
  return serverMarks.filter((m) => !m.practice && !ids.has(m.id)).concat(ours);
}

/** An undo counts only under the phone's id that the mark carries, here as on the server. */
const takenBy = (id, device) => `${id} ${device}`;

function ownMark(record) {
  const { bunker, outline, number, revision } = record.target;
  return { id: record.id, device: record.device, bunker, outline, number, revision, person: record.person, made_at: record.made_at, own: true };
}

/** Numbers of the painted points of one outline in the bunker's standing revision. */
export function paintedNumbers(marks, bunker, outline) {
  const ours = marks.filter((m) => m.bunker === bunker.id && m.outline === outline.id && m.revision === bunker.revision);
  const known = new Set(outline.points.map(([number]) => number));
  return new Set(ours.map((m) => m.number).filter((number) => known.has(number)));
}

/** The mark an undo would take back: this phone's newest that stands. */
export function lastOwnMark(marks) {
  return marks.filter((m) => m.own).at(-1) ?? null;
}
