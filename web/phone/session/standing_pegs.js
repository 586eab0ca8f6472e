// The pegs as they stand for this phone: the plan's, those that crews placed, and what was last found of each, by the server
// and by this phone's own records. The newest report counts.

const PLACES = ['planned', 'new', 'reset'];
const OUT_OF_PLACE = ['planned', 'moved', 'missing'];

/** Own peg reports that stand, oldest first; while practising those of the practice, else the real ones. */
export function ownReports({ own, practice }) {
  const undone = new Set(own.filter(({ kind }) => kind === 'undo').map(({ undoes }) => undoes));
  const counts = practice === null ? (r) => !r.practice : (r) => r.practice && r.made_at >= practice.start;
  return own.filter((r) => r.kind === 'peg' && counts(r) && !undone.has(r.id)).sort(byTime);
}

const byTime = (a, b) => (a.made_at < b.made_at ? -1 : Number(a.made_at > b.made_at));

/**
 * Every peg: {id, kind, x, y, levelM, note, withinM, isOwn: whether the site's plan has it, state or null, report or null,
 * photos: ids of pictures, oldest first}, course metres. `report` is {id, peg, state, note, photos, person, made_at}, the
 * server's with within_m of the peg. A report with a place makes a peg, or moves one that a crew made; the place of a peg
 * of the plan is the plan's.
 */
export function standingPegs(job) {
  const { bundle } = job;
  const pegs = new Map(bundle.pegs.map((peg) => [peg.id, pegOf(peg, true)]));
  const undone = new Set(job.own.filter(({ kind }) => kind === 'undo').map(({ undoes }) => undoes));
  const placed = (bundle.field_pegs ?? []).filter((peg) => !pegs.has(peg.id) && !undone.has(peg.placed));
  placed.forEach((peg) => pegs.set(peg.id, pegOf(peg, false)));
  const own = ownReports(job);
  const known = new Set(own.map(({ id }) => id));
  const told = (bundle.peg_reports ?? []).filter(({ id }) => !known.has(id) && !undone.has(id));
  told.concat(own).sort(byTime).forEach((report) => take(pegs, report));
  const photos = new Map((bundle.peg_photos ?? []).map(({ peg, photos: ids }) => [peg, ids]));
  return [...pegs.values()].map((peg) => ({ ...peg, photos: photosOf(peg.id, photos.get(peg.id) ?? [], told.concat(own)) }));
}

/** The ids of all pictures of a peg: those the server told of, then those of the reports at hand. */
function photosOf(pegId, told, reports) {
  const reported = reports.filter(({ peg }) => peg === pegId).flatMap(({ photos }) => photos ?? []);
  return [...new Set(told.concat(reported))];
}

const pegOf = ({ id, kind, x, y, level_m: levelM = null, note, within_m: withinM = null }, isOwn) => (
  { id, kind, x, y, levelM, note, withinM, isOwn, state: null, report: null });

function take(pegs, report) {
  const places = PLACES.includes(report.state) && Number.isFinite(report.x) && Number.isFinite(report.y);
  const before = pegs.get(report.peg);
  if (before === undefined && !places) return;
  const moved = places && !before?.isOwn
    ? { kind: report.peg_kind, x: report.x, y: report.y, withinM: report.within_m ?? null, note: report.note || (before?.note ?? '') }
    : { withinM: withinOf(before, report) };
  const fresh = before ?? { id: report.peg, levelM: null, isOwn: false };
  pegs.set(report.peg, { ...fresh, ...moved, state: report.state, report });
}

/** A peg of the plan stands within the radius of the ties it was set again by: of this phone's report, or as the server tells it. */
function withinOf(before, { kind, state, within_m: withinM }) {
  const tells = kind === undefined || (state === 'reset' && before.isOwn);
  return (tells ? withinM : null) ?? before.withinM;
}

/** Whether a peg can be measured from, as far as is known. */
export const isInPlace = ({ state }) => !OUT_OF_PLACE.includes(state);
