// Which marks stand: those the server told of, with this phone's own on top. A mark of an older revision does not count.

/**
 * The marks that stand, each {id, bunker, outline, number, revision, person, made_at, own}.
 *
 * `serverMarks` are real marks of everybody; `own` are this phone's records, oldest first. While practising only the
 * practice marks made since `practiceStart` (ISO time) count, and otherwise none of them does.
 */
export function standingMarks({ serverMarks, own, practice, practiceStart }) {
  const taken = new Set(own.filter((r) => r.kind === 'undo').map((r) => r.undoes));
  const counted = own.filter((r) => r.kind === 'mark' && (practice ? r.practice && r.made_at >= practiceStart : !r.practice));
  const ours = counted.filter((r) => !taken.has(r.id)).map(ownMark);
  if (practice) return ours;
  const ids = new Set(own.map((r) => r.id));
  return serverMarks.filter((m) => !m.practice && !taken.has(m.id) && !ids.has(m.id)).concat(ours);
}

function ownMark(record) {
  const { bunker, outline, number, revision } = record.target;
  return { id: record.id, bunker, outline, number, revision, person: record.person, made_at: record.made_at, own: true };
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
