// The pegs as they stand for this phone: the plan's, those that crews placed, and what was found of each, by the server and
// by this phone's own records, in the order they were made: as the server orders those it told of.

const PLACES = ['planned', 'new', 'reset'];
const OUT_OF_PLACE = ['planned', 'moved', 'missing'];

/** Own peg reports that stand, oldest first; while practising those of the practice, else the real ones. */
export function ownReports({ own, practice }) {
  const undone = new Set(own.filter(({ kind }) => kind === 'undo').map(({ undoes }) => undoes));
  const counts = practice === null ? (r) => !r.practice : (r) => r.practice && r.made_at >= practice.start;
  return own.filter((r) => r.kind === 'peg' && counts(r) && !undone.has(r.id)).sort(byTime);
}

const byTime = (a, b) => timeMs(a) - timeMs(b);

/** When a report was made; the server tells when it came where its clock said later than that. */
const timeMs = ({ at, made_at: madeAt }) => Date.parse(at ?? madeAt);

/**
 * Every peg: {id, kind, x, y, levelM, note, withinM, isOwn: whether the site's plan has it, state or null, report or null,
 * seenAs: its state once it is seen, isPlan: whether only plans tell of it, photos: ids of pictures, oldest first}, course
 * metres. `report` is {id, peg, state, note, photos, person, made_at}, the server's with within_m of the peg. A report with
 * a place makes a peg, or moves one that a crew made; the place of a peg of the plan is the plan's. A plan for a peg that is
 * there already does not count.
 */
export function standingPegs(job) {
  const { bundle } = job;
  const pegs = new Map(bundle.pegs.map((peg) => [peg.id, pegOf(peg, true)]));
  const undone = new Set(job.own.filter(({ kind }) => kind === 'undo').map(({ undoes }) => undoes));
  const placed = (bundle.field_pegs ?? []).filter((peg) => !pegs.has(peg.id) && !undone.has(peg.placed));
  placed.forEach((peg) => pegs.set(peg.id, pegOf(peg, false)));
  const times = new Map((bundle.peg_reports ?? []).map(({ id, at }) => [id, at]));
  const own = ownReports(job).map((report) => ({ ...report, at: times.get(report.id) }));
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
  { id, kind, x, y, levelM, note, withinM, isOwn, state: null, seenAs: 'found', isPlan: true, report: null });

function take(pegs, report) {
  const places = PLACES.includes(report.state) && Number.isFinite(report.x) && Number.isFinite(report.y);
  const before = pegs.get(report.peg);
  if ((before === undefined && !places) || isLatePlan(before, report)) return;
  const moved = places && !before?.isOwn
    ? { kind: report.peg_kind, x: report.x, y: report.y, withinM: report.within_m ?? null, note: report.note || (before?.note ?? '') }
    : { withinM: withinOf(before, report) };
  const fresh = before ?? { id: report.peg, levelM: null, isOwn: false, seenAs: 'found', isPlan: true };
  pegs.set(report.peg, { ...fresh, ...moved, ...after(fresh, report.state), isPlan: fresh.isPlan && report.state === 'planned', report });
}

/** Whether a report plans a peg of the plan, or one of which anything but a plan stands. */
const isLatePlan = (before, { state }) => state === 'planned' && before !== undefined && (before.isOwn || !before.isPlan);

/** {state, seenAs} of a peg after one more report; twin: model/standing_peg.py. Seen again, only a missing peg is as it was. */
function after({ seenAs }, reported) {
  if (reported === 'found') return { state: seenAs, seenAs };
  if (reported === 'missing') return { state: 'missing', seenAs };
  return { state: reported, seenAs: ['moved', 'planned'].includes(reported) ? reported : 'found' };
}

/** A peg of the plan stands within the radius of the ties it was set again by: of this phone's report, or as the server tells it. */
function withinOf(before, { kind, state, within_m: withinM }) {
  const tells = kind === undefined || (state === 'reset' && before.isOwn);
  return (tells ? withinM : null) ?? before.withinM;
}

/** Whether a peg can be measured from, as far as is known. */
export const isInPlace = ({ state }) => !OUT_OF_PLACE.includes(state);
