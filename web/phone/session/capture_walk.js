// Walking a sprayed line with the receiver: fixes as they came, with their times, thinned where there are too many.

import { isVague } from './wording.js';

const GAP_S = 0.9;
const MOST_FIXES = 5000;
const BEGIN_ROUND_M = 10;
const AHEAD_M = 2;
const CLOCK_MS = 5000;

/**
 * The draft after the job's last fix: {tS since the first, latDeg, lonDeg, sigmaM} as the receiver gave it, {x, y, withinM}
 * where the phone put it. Repeated fixes and those within 0.9 s are left out; beyond 5,000 every other one goes. The same
 * draft where there is nothing new; one older than the last means that the clock was put back, and is left out.
 */
export function withWalked(draft, { fix, sample, place }) {
  if (fix === null || sample === null || place === null || place.awayM !== null) return draft;
  if (draft.lastAt !== null && fix.at - draft.lastAt < 1000 * (draft.gapS || GAP_S)) return draft;
  const last = draft.fixes.at(-1);
  if (last && last.latDeg === fix.latDeg && last.lonDeg === fix.lonDeg) return draft;
  const startedAt = draft.startedAt ?? fix.at;
  const walked = { tS: (fix.at - startedAt) / 1000, latDeg: fix.latDeg, lonDeg: fix.lonDeg, sigmaM: sample.sigmaM, x: place.x, y: place.y, withinM: place.radius95M };
  const fixes = [...draft.fixes, walked];
  if (fixes.length <= MOST_FIXES) return { ...draft, startedAt, lastAt: fix.at, fixes };
  return { ...draft, startedAt, lastAt: fix.at, gapS: 2 * (draft.gapS || GAP_S), fixes: fixes.filter((_, i) => i % 2 === 0) };
}

/** How long the walked line is so far, and how far from its beginning one is, ground metres. */
export function walkedM({ fixes }, scale) {
  const step = (a, b) => Math.sqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2) * scale;
  const lengthM = fixes.slice(1).reduce((sum, fix, i) => sum + step(fixes[i], fix), 0);
  return { lengthM, fromBeginM: fixes.length === 0 ? 0 : step(fixes[0], fixes.at(-1)) };
}

/** Whether the walk has come back to where it began: it was away, and is now within its radius or a metre of it. */
export function isRound(draft, scale) {
  if (draft.fixes.length < 10) return false;
  const nearM = Math.max(1, walkWithinM(draft) ?? 1);
  const { lengthM, fromBeginM } = walkedM(draft, scale);
  const first = draft.fixes[0];
  const farthestM = Math.max(...draft.fixes.map(({ x, y }) => Math.sqrt((x - first.x) ** 2 + (y - first.y) ** 2))) * scale;
  return lengthM > BEGIN_ROUND_M && farthestM > fromBeginM && fromBeginM <= nearM;
}

/** The 95 % radius that half of the fixes have at most; null where the receiver tells none. */
export function walkWithinM({ fixes }) {
  const radii = fixes.map(({ withinM }) => withinM).filter((radius) => radius !== null).sort((a, b) => a - b);
  return radii.length < fixes.length || radii.length === 0 ? null : radii[Math.floor(radii.length / 2)];
}

/** Where a practice walk goes next: to the drawn line, and while it is recorded two metres ahead along it, {x, y}. */
export function aheadOnLine({ trace }, { x, y }, scale, isWalking) {
  const away = trace.map(([tx, ty]) => (tx - x) ** 2 + (ty - y) ** 2);
  const nearest = away.indexOf(Math.min(...away));
  const ring = [...trace.slice(nearest), ...trace.slice(0, nearest)];
  const far = ring.find(([tx, ty]) => Math.sqrt((tx - trace[nearest][0]) ** 2 + (ty - trace[nearest][1]) ** 2) * scale >= (isWalking ? AHEAD_M : 0)) ?? ring.at(-1);
  return { x: far[0], y: far[1] };
}

/** Why no position can be taken into the walk now, or null. */
export function walkTrouble({ place, fix }, draft = null) {
  if (place === null) return 'Waiting for the first position. Stand in the open.';
  if (place.awayM !== null) return 'This position is far from the hole: nothing is recorded.';
  if (draft !== null && draft.lastAt !== null && fix !== null && fix.at < draft.lastAt - CLOCK_MS) return 'This phone\'s clock was put back, so nothing is recorded: begin the walk anew.';
  return isVague(place.radius95M) ? 'The position is too rough to walk a line by: wait in the open.' : null;
}
