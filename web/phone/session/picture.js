// What the ground shows: which outlines and points, where the worker and the target are, which way is up.

import { othersOnGround } from './company.js';
import { frameGround, scaleBar } from './framing.js';
import { facingDeg } from './heading.js';
import { bunkerOf, outlineOf, paintedOf } from './job.js';

/** What changes only with the choice and the marks: outlines, pegs and the place that lies still under everything. */
export function holeOf(job) {
  const bunker = bunkerOf(job);
  const outlines = job.bundle.bunkers.flatMap((b) => b.outlines.map((outline) => ({
    chosen: b.id === job.bunkerId && outline.id === job.outlineId,
    near: b.id === job.bunkerId,
    closed: outline.closed,
    trace: outline.trace,
    lengthM: outline.length_m,
    points: outline.points,
    painted: paintedOf(job, b.id, outline.id),
  })));
  return { outlines, chosen: outlines.find((o) => o.chosen), pegs: job.bundle.pegs, origin: originOf(bunker) };
}

const origins = new WeakMap();

/** The bunker's middle, the same object every time, so that what was cut about it can be kept. */
function originOf(bunker) {
  if (!origins.has(bunker)) origins.set(bunker, { x: bunker.middle[0], y: bunker.middle[1], playBearingDeg: bunker.play_bearing_deg });
  return origins.get(bunker);
}

/** The course bearing that points up on the screen. */
export function upDegOf(job, aim) {
  const play = bunkerOf(job).play_bearing_deg;
  if (job.up === 'walk') return faced(job, aim) ?? aim.way?.courseBearingDeg ?? play;
  if (job.up === 'play') return play;
  const [x, y] = bunkerOf(job).middle;
  return -job.frame.trueBearingDeg(x, y, x, y + 1);
}

/** The course bearing faced, or null when nothing tells. */
function faced(job, aim) {
  return aim.place === null || aim.place.awayM !== null ? null : facingDeg(job, aim.at);
}

/** The picture for a ground of `size` pixels; `before` is the frame shown last. */
export function pictureOf(job, aim, before, size) {
  const up = upDegOf(job, aim);
  const here = aim.place?.awayM === null ? aim.place : null;
  const to = aim.to ?? aim.point;
  const frame = here && to
    ? frameGround(before, here, to, up, size)
    : frameGround(null, null, { ...wholeOutline(outlineOf(job)), spots: to ? [to] : [] }, up, size);
  return {
    frame,
    worker: here && {
      x: here.x, y: here.y, radiusM: here.radius95M, isOld: aim.staleS !== null,
      bearingDeg: faced(job, aim) ?? aim.way?.courseBearingDeg ?? up,
    },
    target: to && { x: to.x, y: to.y, number: aim.line === null ? aim.point?.number ?? null : null },
    others: othersOnGround(job),
    bar: scaleBar(frame.scale, job.bundle.site.units.ground, size.barPx),
  };
}

/** The middle of an outline and how far it reaches from there. */
function wholeOutline({ points }) {
  const [xs, ys] = [points.map(([, x]) => x), points.map(([, , y]) => y)];
  const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return { x: (left + right) / 2, y: (low + high) / 2, reachM: Math.max(right - left, high - low) * 0.75 };
}
