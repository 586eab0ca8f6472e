// A plan that came while another is in hand: what it changes, and the job on the new one.

import { createFrame } from '../geometry/frame.js';
import { aimAtNext, bunkerOf, choose, outlineOf, paintedOf, placeAgain, recount } from './job.js';
import { offThePlan } from './on_peg.js';
import { placeByReading } from './placing.js';

const SAME_PLACE_DEG = 1e-8;

/** The version of a bundle that this page reads. */
export const canRead = (bundle) => bundle?.format === 'fieldapp-bundle' && bundle.version === 1;

/**
 * What a fresh bundle changes for somebody who works on `before`: null when every revision is the same and every point
 * lies where it lay on the earth (within about 1 mm), else {revisions: [those that are new], gone: [names of bunkers]}.
 */
export function planChange(before, fresh) {
  const known = new Map(before.bunkers.map((bunker) => [bunker.id, bunker]));
  const others = fresh.bunkers.filter((bunker) => known.get(bunker.id)?.revision !== bunker.revision);
  const ids = new Set(fresh.bunkers.map(({ id }) => id));
  const gone = before.bunkers.filter(({ id }) => !ids.has(id)).map(({ name }) => name);
  const isSame = others.length === 0 && gone.length === 0 && samePlaces(placesOf(before), placesOf(fresh));
  return isSame ? null : { revisions: [...new Set(others.map(({ revision }) => revision))], gone };
}

function placesOf(bundle) {
  const frame = createFrame(bundle.frame);
  return new Map(bundle.bunkers.flatMap((bunker) => bunker.outlines.flatMap((outline) => outline.points.map(
    ([number, x, y]) => [`${bunker.id}/${outline.id}/${number}`, frame.toGnss(x, y)],
  ))));
}

function samePlaces(one, other) {
  if (one.size !== other.size) return false;
  return [...one].every(([key, place]) => {
    const there = other.get(key);
    return there !== undefined && place.every((deg, i) => Math.abs(deg - there[i]) < SAME_PLACE_DEG);
  });
}

/**
 * The job on a fresh bundle at a time (ms). Own marks and those the server told of stay; the target stays where its
 * revision stands; what was measured on another grid ends.
 */
export function withPlan(job, bundle, nowMs) {
  const serverMarks = job.serverMarks === job.bundle.marks ? bundle.marks : job.serverMarks;
  const before = bunkerOf(job).revision;
  const bunker = bundle.bunkers.find(({ id }) => id === job.bunkerId) ?? bundle.bunkers[0];
  const outline = bunker.outlines.find(({ id }) => id === job.outlineId) ?? bunker.outlines[0];
  const tee = bundle.hole.tees.find(({ id }) => id === job.teeId) ?? bundle.hole.tees[0];
  const moved = recount(placedOn({
    ...job, bundle, serverMarks, frame: createFrame(bundle.frame), teeId: tee?.id ?? null, bunkerId: bunker.id, outlineId: outline.id,
  }, job, nowMs));
  const isSameWork = bunker.id === job.bunkerId && outline.id === job.outlineId && bunker.revision === before;
  const isThere = job.number === null || outlineOf(moved).points.some(([number]) => number === job.number);
  return isSameWork && isThere ? moved : firstOpen(moved, bunker);
}

/** The job on a fresh bundle with its places: where the frame is another, they are measured again by it. */
function placedOn(job, before, nowMs) {
  const isSameFrame = JSON.stringify(job.bundle.frame) === JSON.stringify(before.bundle.frame);
  const onPeg = isSameFrame && isSamePeg(job.bundle, job.onPeg) ? job.onPeg : offThePlan(job.onPeg);
  if (isSameFrame) return { ...withoutOldCheckIn(job), onPeg };
  return { ...placeAgain(job), onPeg, holding: null, heldEnd: job.holding === null ? job.heldEnd : { why: 'plan', at: nowMs } };
}

/** The job with its place told again where a check-in was applied, which the fresh plan may no longer bear. */
function withoutOldCheckIn(job) {
  return job.place?.checkIn ? { ...job, place: placeByReading(job, job.place.reading, job.sample) } : job;
}

function isSamePeg(bundle, onPeg) {
  if (onPeg === null) return true;
  const now = bundle.pegs.find(({ id }) => id === onPeg.peg.id);
  return now !== undefined && now.x === onPeg.peg.x && now.y === onPeg.peg.y;
}

function firstOpen(job, bunker) {
  if (paintedOf(job, bunker.id, job.outlineId).size < outlineOf(job).points.length) return aimAtNext(job, 0);
  const open = bunker.outlines.find((o) => paintedOf(job, bunker.id, o.id).size < o.points.length);
  return open ? choose(job, { outlineId: open.id }) : aimAtNext(job, 0);
}
