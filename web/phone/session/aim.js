// Where the worker stands against what they aim at: a paint point, or in line mode the outline itself.

import { alongAndOff } from '../geometry/offset.js';
import { verdict } from '../geometry/verdict.js';
import { pointAtChainage } from './choosing.js';
import { frozenS } from './fix_quality.js';
import { wayTo } from './guidance.js';
import { bunkerOf, outlineOf, pointOf } from './job.js';

const STALE_S = 5;
const FAR_BEYOND_RADIUS_M = 2;

/**
 * The aim now (milliseconds). `point` is what a mark would be for, null when nothing is left; `to` is where the way
 * leads. `isDoubtful` says that the position may be an old one: it came long ago, or never moves. Figures are null without
 * a position.
 */
export function aimOf(job, nowMs) {
  const ageS = job.fix === null ? null : Math.max(0, (nowMs - job.fix.at) / 1000);
  const staleS = ageS !== null && ageS > STALE_S ? Math.floor(ageS) : null;
  const isDoubtful = staleS !== null || frozenS(job.watch) !== null;
  const base = { at: nowMs, ageS, staleS, isDoubtful, place: job.place, line: null, way: null, distanceM: null, verdict: 'cannot tell' };
  if (job.place === null || job.place.awayM !== null) return { ...base, point: pointOf(job, job.number), offM: null };
  return job.mode === 'line' ? lineAim(job, base) : pointAim(job, base);
}

function pointAim(job, base) {
  const point = pointOf(job, job.number);
  if (point === null) return { ...base, point, offM: null };
  const way = wayFrom(job, point);
  const judged = judge(job, base, way.distanceM);
  return { ...base, point, to: point, way, distanceM: way.distanceM, offM: way.distanceM, verdict: judged, pointVerdict: judged };
}

function lineAim(job, base) {
  const outline = outlineOf(job);
  const scale = job.bundle.frame.ground_scale;
  const { alongM, offM, nearest } = alongAndOff(outline.trace, outline.closed, outline.length_m, job.place.x, job.place.y);
  const [number, x, y] = pointAtChainage(outline, alongM);
  const to = { x: nearest[0], y: nearest[1] };
  const pointOffM = wayFrom(job, { x, y }).distanceM;
  const line = { offM: offM * scale, alongM: alongM * scale, closed: outline.closed };
  return {
    ...base, point: pointOf(job, number), to, line, way: wayFrom(job, to), distanceM: Math.abs(line.offM), offM: pointOffM,
    verdict: judge(job, base, Math.abs(line.offM)), pointVerdict: judge(job, base, pointOffM),
  };
}

function wayFrom(job, to) {
  return wayTo(job.frame, job.bundle.frame.ground_scale, bunkerOf(job).play_bearing_deg, job.place, to);
}

function judge(job, base, distanceM) {
  if (base.isDoubtful) return 'cannot tell';
  return verdict(distanceM, job.place.radius95M, job.bundle.site.tolerance_m);
}

/** Why a mark now asks for a second tap: no position, an old or unmoving one, or one far off; null when it does not. */
export function doubtOf(aim) {
  if (aim.place === null) return 'no position';
  if (aim.staleS !== null) return 'old position';
  if (aim.isDoubtful) return 'frozen position';
  if (aim.offM === null || aim.offM - (aim.place.radius95M ?? 0) > FAR_BEYOND_RADIUS_M) return 'far off';
  return null;
}
