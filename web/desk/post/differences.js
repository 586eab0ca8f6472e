// What lies between two drafts of a bunker, in plain words, and how far its points lie apart.

import { groundWords } from '../../phone/session/lengths.js';

const LEAST_M = 0.0005;

/** Sentences without their point: 'sand: 2 points moved, by up to 1.20 m'. `unit` is 'metre' or 'foot'. */
export function differences(before, after, unit, groundScale) {
  const old = new Map(before.outlines.map((outline) => [outline.id, outline]));
  const fresh = after.outlines.filter(({ id }) => !old.has(id)).map(({ id }) => `${id}: a new outline`);
  const gone = before.outlines.filter(({ id }) => !after.outlines.some((one) => one.id === id)).map(({ id }) => `${id}: taken out`);
  const changed = after.outlines.filter(({ id }) => old.has(id)).flatMap((outline) => ofOutline(old.get(outline.id), outline, unit, groundScale));
  return [...ofFacts(before.bunker, after.bunker), ...fresh, ...gone, ...changed, ...(isSame(before.plan, after.plan) ? [] : ['what it is planned to measure'])];
}

function ofFacts(before, after) {
  return [['name', 'name'], ['note', 'note'], ['floor_level_m', 'level of its floor']]
    .filter(([key]) => before[key] !== after[key])
    .map(([, words]) => `the ${words}`);
}

function ofOutline(before, after, unit, groundScale) {
  const found = [];
  if (before.part !== after.part) found.push(`${after.id}: is the ${after.part} now`);
  if (before.level_m !== after.level_m || before.above_ground_m !== after.above_ground_m) found.push(`${after.id}: another height`);
  if (before.curve !== after.curve || before.closed !== after.closed) found.push(`${after.id}: another kind of line`);
  if (before.points.length !== after.points.length) return [...found, `${after.id}: ${after.points.length} points instead of ${before.points.length}`];
  const apart = after.points.map(([x, y], at) => Math.hypot(x - before.points[at][0], y - before.points[at][1]) * groundScale);
  const moved = apart.filter((lengthM) => lengthM > LEAST_M);
  const roles = after.points.filter((point, at) => (point[2] ?? 'plain') !== (before.points[at][2] ?? 'plain')).length;
  if (moved.length) found.push(`${after.id}: ${countWords(moved.length, 'point')} moved, by up to ${groundWords(Math.max(...moved), unit, 0)}`);
  if (roles) found.push(`${after.id}: ${countWords(roles, 'point')} of another kind`);
  return found;
}

const countWords = (count, what) => `${count} ${what}${count === 1 ? '' : 's'}`;

const isSame = (one, other) => JSON.stringify(one) === JSON.stringify(other);
