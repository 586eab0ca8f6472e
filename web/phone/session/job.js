// The job in hand: which bunker, outline and point, where the worker is, which marks stand. Every change makes a new job.

import { nearestUnpainted, nextNumber, nextOutline, pointNear } from './choosing.js';
import { numbersOfOthers, whoStays, withOthers } from './company.js';
import { compareStep, uncompared } from './compass_check.js';
import { unwatched, watchFix } from './fix_quality.js';
import { unknownReceiver } from './gauge.js';
import { placeFix } from './guidance.js';
import { compassHeading, trueOfCourse } from './heading.js';
import { onPegWith } from './on_peg.js';
import { placeSample, sampleOf } from './placing.js';
import { paintedNumbers, standingMarks } from './standing.js';
import { standing, walkOn } from './walking.js';

/** Nearer than this to its point, nobody is sent away from it. */
const AT_WORK_M = 1.5;

/** What a receiver that has given nothing leaves: `sample` is the last fix on the course, `onPeg` a trial or check-in going on. */
const nothingReceived = {
  fix: null, place: null, sample: null, walk: standing, trouble: null,
  watch: unwatched, holding: null, heldEnd: null, onPeg: null, compassCheck: uncompared,
};

/** A new job on one bunker of a bundle. `frame` is the bundle's own, made ready. */
export function createJob({ bundle, frame, bunkerId, person, device, role = null }) {
  const bunker = bundle.bunkers.find((b) => b.id === bunkerId);
  const job = {
    bundle, frame, person, device, role,
    bunkerId, outlineId: bunker.outlines[0].id, number: null, byHand: null,
    mode: 'points', up: 'play', practice: null,
    teeId: bunker.plan?.tee ?? bundle.hole.tees[0]?.id ?? null,
    yardageUnit: bundle.site.units.yardage,
    ...nothingReceived, gauge: unknownReceiver, compass: null,
    serverMarks: bundle.marks, own: [], marks: [], painted: new Map(),
  };
  return chooseFirst(recount(job));
}

export const bunkerOf = (job) => job.bundle.bunkers.find((b) => b.id === job.bunkerId);
export const outlineOf = (job) => bunkerOf(job).outlines.find((o) => o.id === job.outlineId);

/** 'sand edge', and where the bunker has more of that part its id as well, as on the sheets. */
export const calledIn = (bunker, { id, part }) => (bunker.outlines.filter((o) => o.part === part).length > 1 ? `${part} '${id}'` : part);
export const teeOf = (job) => job.bundle.hole.tees.find((t) => t.id === job.teeId) ?? null;
export const paintedOf = (job, bunkerId, outlineId) => job.painted.get(`${bunkerId}/${outlineId}`);

/** The point of the chosen outline with a number: {number, x, y, chainageM} or null. */
export function pointOf(job, number) {
  const found = outlineOf(job).points.find(([n]) => n === number);
  return found ? { number: found[0], x: found[1], y: found[2], chainageM: found[3] } : null;
}

/** The job with its marks counted again. */
export function recount(job) {
  const { practice } = job;
  const marks = standingMarks({ ...job, practice: practice !== null, practiceStart: practice?.start });
  const painted = new Map(job.bundle.bunkers.flatMap((bunker) => bunker.outlines.map(
    (outline) => [`${bunker.id}/${outline.id}`, paintedNumbers(marks, bunker, outline)],
  )));
  return { ...job, marks, painted };
}

/** The job after marks came in. When somebody else has painted the target, or new work turned up, it aims on. */
export function withMarks(job, changes) {
  const counted = recount({ ...job, ...changes });
  const wasPainted = paintedOf(job, job.bunkerId, job.outlineId).has(job.number);
  return counted.number === null || (!wasPainted && paintedByOther(counted)) ? aimAtNext(counted, job.number ?? 0) : counted;
}

/** The mark by which somebody else has painted the target, or null. */
export function paintedByOther(job) {
  const ours = (m) => m.bunker === job.bunkerId && m.outline === job.outlineId && m.number === job.number;
  return job.marks.find((m) => ours(m) && !m.own && m.revision === bunkerOf(job).revision) ?? null;
}

/** The job at the first outline of its bunker with work left, at its first unpainted point. */
function chooseFirst(job) {
  const bunker = bunkerOf(job);
  const open = bunker.outlines.find((o) => paintedOf(job, bunker.id, o.id).size < o.points.length) ?? bunker.outlines[0];
  return aimAtNext({ ...job, outlineId: open.id }, 0);
}

/** The job aimed at the next unpainted point after `number`, past those others are at; at none when all are painted. */
export function aimAtNext(job, number) {
  const painted = paintedOf(job, job.bunkerId, job.outlineId);
  const taken = new Set([...painted, ...numbersOfOthers(job)]);
  return { ...job, byHand: null, number: nextNumber(outlineOf(job), taken, number) ?? nextNumber(outlineOf(job), painted, number) };
}

/**
 * The job after the server told who else is there. Where another stays at the same point it goes on to one that nobody is
 * at, unless the point was chosen by hand or the worker is at it or holds still.
 */
export function withCompany(job, others) {
  const next = withOthers(job, others);
  if (next.mode !== 'points' || next.byHand === next.number || next.holding !== null || isAtPoint(next)) return next;
  if (whoStays(next) === null) return next;
  const on = aimAtNext(next, next.number);
  return numbersOfOthers(next).has(on.number) ? next : on;
}

function isAtPoint({ place, number, ...job }) {
  const point = pointOf(job, number);
  if (point === null || place === null || place.awayM !== null) return false;
  return Math.sqrt((place.x - point.x) ** 2 + (place.y - point.y) ** 2) * job.bundle.frame.ground_scale <= AT_WORK_M;
}

/** The job on another outline, at its first unpainted point or at `number`. */
export function choose(job, { bunkerId = job.bunkerId, outlineId, number = null }) {
  const moved = { ...job, bunkerId, outlineId };
  return number === null ? aimAtNext(moved, 0) : { ...moved, number, byHand: number };
}

/** The job aimed at the unpainted point nearest to the worker; unchanged without a position. */
export function aimAtNearest(job) {
  if (job.place === null || job.place.awayM !== null) return job;
  const painted = paintedOf(job, job.bunkerId, job.outlineId);
  const taken = new Set([...painted, ...numbersOfOthers(job)]);
  const number = nearestUnpainted(outlineOf(job), taken, job.place) ?? nearestUnpainted(outlineOf(job), painted, job.place);
  return { ...job, number, byHand: number };
}

/** The job aimed at the point touched at x, y within `reachM`; unchanged when none is there. */
export function aimAtTouched(job, x, y, reachM) {
  const found = pointNear(bunkerOf(job), job.outlineId, x, y, reachM);
  return found === null ? job : choose({ ...job, mode: 'points' }, found);
}

/** The job with the mark taken back aimed at again. */
export function aimAtMark(job, { bunker, outline, number }) {
  return choose(job, { bunkerId: bunker, outlineId: outline, number });
}

/** The outline to go on with when this one is done, or null. */
export function outlineAfter(job) {
  return nextOutline(bunkerOf(job), job.outlineId, (o) => paintedOf(job, job.bunkerId, o.id));
}

/** The job with a receiver chosen: `practice` is null or {grade, start}, `gauge` what is known of that receiver. */
export function withReceiver(job, practice, gauge = unknownReceiver) {
  return chooseFirst(recount({ ...job, ...nothingReceived, practice, gauge }));
}

/** The job after a fix {latDeg, lonDeg, accuracyM, heightM, speedMS, at, pageMs}; the last is how long the page had been open, ms. */
export function withFix(job, fix) {
  const found = placeFix(job.frame, job.bundle.frame, fix);
  const next = { ...job, fix, watch: watchFix(job.watch, fix), trouble: null };
  if (found.awayM !== null) return { ...next, place: found, sample: null, walk: standing, holding: null };
  const sample = sampleOf(job, fix, found);
  const { place, holding } = placeSample(job, sample);
  const left = holding?.left ?? false;
  return walked({
    ...next, place, sample, onPeg: onPegWith(job, sample),
    holding: left ? null : holding, heldEnd: left ? { why: 'moved', at: fix.at } : job.heldEnd,
  });
}

/** The job with the last fix placed again, by itself, through the frame it has now. */
export function placeAgain(job) {
  if (job.fix === null) return job;
  const found = placeFix(job.frame, job.bundle.frame, job.fix);
  const afresh = { ...job, sample: null, walk: standing, holding: null };
  if (found.awayM !== null) return { ...afresh, place: found };
  const sample = sampleOf(job, job.fix, found);
  return { ...afresh, sample, place: placeSample(afresh, sample).place };
}

/** The job with its walk gone on, and the compass set against it. Who holds still walks nowhere. */
function walked(job) {
  if (job.holding !== null) return { ...job, walk: standing };
  const walk = walkOn(job.walk, { ...job.sample, radius95M: job.place.fixRadius95M }, job.fix.at);
  const heading = walk.bearingDeg !== null && walk.at === job.fix.at ? compassHeading(job, job.fix.at) : null;
  if (heading === null || !heading.isTrue) return { ...job, walk };
  const step = { lengthM: walk.stepM, walkedDeg: trueOfCourse(job, walk.bearingDeg), compassDeg: heading.deg };
  return { ...job, walk, compassCheck: compareStep(job.compassCheck, step) };
}
