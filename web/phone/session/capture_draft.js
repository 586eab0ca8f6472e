// A line being captured, as it is kept on the phone while it is measured: what was measured, never only where it lies.

import { placeOfPoint } from './capture_place.js';
import { bunkerOf } from './job.js';
import { isInPlace } from './standing_pegs.js';

const VERSION = 1;
const MOST_POINTS = 2000;
const SAME_M = 0.001;
/** Points nearer than that, on the ground, are one that was added twice. */
const TWICE_M = 0.01;
const METHODS = ['line', 'ties', 'reading', 'walk'];
export const LEAST_POINTS = 3;

/** The name under which the draft of a bunker is kept; one made while practising is another one. */
export const draftKey = ({ bundle, bunkerId, practice }) => `capture ${bundle.site.id} ${bunkerId}${practice === null ? '' : ' practice'}`;

/** A draft of an outline, to be measured by 'line', 'ties' or 'walk'; `id` is that of the record it will make. */
export function newDraft(job, { id, outlineId, by, pegs }) {
  const outline = bunkerOf(job).outlines.find((one) => one.id === outlineId);
  const [first = '', second = ''] = pegs.filter(isInPlace).map((peg) => peg.id);
  return {
    version: VERSION, id, outline: outlineId, part: outline.part, closed: outline.closed, revision: bunkerOf(job).revision,
    curve: 'smooth', points: [], after: null, pegs: {}, fixes: [], startedAt: null, lastAt: null, gapS: 0,
    entry: { by, pegs: [first, second], first: '', second: '', side: 'right' },
  };
}

/** The draft that was kept, or null where there is none that this page can read. */
export function draftFrom(kept) {
  const isOurs = kept?.version === VERSION && typeof kept.id === 'string' && typeof kept.outline === 'string'
    && Array.isArray(kept.points) && Array.isArray(kept.fixes) && METHODS.includes(kept.entry?.by);
  return isOurs ? kept : null;
}

/** Whether anything was measured. */
export const isBegun = ({ points, fixes }) => points.length + fixes.length > 0;

export const isWalk = ({ entry }) => entry.by === 'walk';

/** The method as records name it. */
export function methodOf(draft) {
  if (isWalk(draft)) return 'walk';
  const ways = new Set(draft.points.map(({ by }) => by));
  return ways.size === 1 && !ways.has('reading') ? [...ways][0] : 'mixed';
}

/** The draft with what is being typed or chosen changed. */
export const withEntry = (draft, changes) => ({ ...draft, entry: { ...draft.entry, ...changes } });

/** The measurement that is typed, {by, pegs, distancesM, side}; `lengths` are the two lengths read, metres on the ground. */
export function measurement({ by, pegs, side }, [first, second]) {
  const signed = by === 'line' && side === 'left' ? -second : second;
  return { by, pegs, distancesM: [first, signed], side: by === 'ties' ? side : '' };
}

/**
 * Try a measurement: {point, pegs} as the draft would hold it, or {fault}. `standing` are the pegs as they stand, `tape`
 * {scale, errorM, unit}. A peg that stands elsewhere than when the draft was begun makes no point with the earlier ones.
 */
export function tryPoint(draft, measured, standing, tape) {
  if (draft.points.length >= MOST_POINTS) return { fault: `These are ${MOST_POINTS} points, the most there may be: save them.` };
  const named = standing.filter(({ id }) => measured.pegs.includes(id));
  const gone = measured.pegs.find((id) => !named.some((peg) => peg.id === id && isInPlace(peg)));
  if (gone !== undefined) return { fault: gone === '' ? 'Choose two pegs.' : `Peg ${gone} does not stand where it was: choose another one.` };
  if (measured.pegs[0] === measured.pegs[1]) return { fault: 'Choose two different pegs.' };
  const moved = named.find((peg) => draft.pegs[peg.id] && !isSame(draft.pegs[peg.id], peg));
  if (moved) return { fault: `Peg ${moved.id} was set elsewhere since you began. Save what you have, or begin anew.` };
  const pegs = { ...draft.pegs, ...Object.fromEntries(named.map(({ id, x, y, withinM }) => [id, { x, y, withinM }])) };
  const place = placeOfPoint(measured, pegs, tape);
  return place.fault ? place : { point: { ...measured, ...place }, pegs };
}

/** Words where a point, added now, would only repeat the one before it or the one after it; null where it does not. */
export function twiceWords({ points, after, closed }, point, scale) {
  const at = after ?? points.length;
  const beside = [at - 1, closed && at >= points.length ? 0 : at].filter((i) => i >= 0 && i < points.length);
  const same = beside.find((i) => Math.sqrt((points[i].x - point.x) ** 2 + (points[i].y - point.y) ** 2) * scale < TWICE_M);
  if (same === undefined) return null;
  const next = same === 0 && at > 1 ? 'The line closes by itself: look at it and save.' : 'Measure the next one.';
  return `${same === at ? 'This one' : `Point ${at + 1}`} is the same as point ${same + 1}. ${next}`;
}

const isSame = (a, b) => Math.abs(a.x - b.x) < SAME_M && Math.abs(a.y - b.y) < SAME_M;

/** A point by where the phone is, within its own radius. */
export const pointHere = ({ x, y, radius95M }) => ({ by: 'reading', pegs: [], distancesM: [], side: '', x, y, withinM: radius95M });

/** The draft with a point added after the chosen one, or last; what was typed is cleared. */
export function withPoint(draft, point, pegs = draft.pegs) {
  const at = draft.after ?? draft.points.length;
  const isLast = at >= draft.points.length;
  return {
    ...draft, pegs, points: [...draft.points.slice(0, at), point, ...draft.points.slice(at)], after: isLast ? null : at + 1,
    entry: { ...draft.entry, first: '', second: '' },
  };
}

/** The draft without the point of a number (from 1). */
export const withoutPoint = (draft, number) => ({ ...draft, points: draft.points.filter((_, i) => i !== number - 1), after: null });

/** The draft without the point that was added last, where the next one then goes; the same one without points. */
export function withoutLast(draft) {
  const at = (draft.after ?? draft.points.length) - 1;
  if (at < 0) return draft;
  return { ...withoutPoint(draft, at + 1), after: draft.after === null ? null : at };
}

/** Where the chosen next point goes: after the point of a number; last for null. */
export const goOnAfter = (draft, number) => ({ ...draft, after: number === null || number >= draft.points.length ? null : number });

/** The number that the next point gets. */
export const nextNumber = ({ points, after }) => (after ?? points.length) + 1;
