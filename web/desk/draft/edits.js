// Edits of a draft: each takes a draft and gives another; what it does not touch stays the same object.

import { finite, outlineOf, pointOf, roleOf, withOutline, withSoundArcs } from './outlines.js';
import { smoothened, straightened } from './stretches.js';

const ROLES = ['plain', 'corner', 'through'];

/** Move some points of an outline by dx, dy, course metres. */
export function movePoints(doc, outlineId, indices, dx, dy) {
  finite(dx, dy);
  const moving = new Set(indices);
  return withPoints(doc, outlineId, (points) => points.map((point, index) => (
    moving.has(index) ? pointOf(point[0] + dx, point[1] + dy, roleOf(point)) : point)));
}

/** Set one point to a place in course metres. */
export function setPoint(doc, outlineId, index, x, y) {
  finite(x, y);
  return withPoints(doc, outlineId, (points) => changedAt(points, index, (point) => pointOf(x, y, roleOf(point))));
}

/** Put a plain point in after another; after -1 it becomes the first. */
export function addPoint(doc, outlineId, afterIndex, x, y) {
  finite(x, y);
  return withPoints(doc, outlineId, (points) => [...points.slice(0, afterIndex + 1), [x, y], ...points.slice(afterIndex + 1)]);
}

/** Take points out; where that leaves an arc without its point between, the arc goes too. */
export function deletePoints(doc, outlineId, indices) {
  const gone = new Set(indices);
  return withOutline(doc, outlineId, (outline) => (
    { ...outline, points: withSoundArcs(outline.points.filter((_, index) => !gone.has(index)), outline.closed) }));
}

/**
 * Make a point plain, a corner, or the one that an arc passes through. An arc needs a plain point or corner on both sides:
 * the 'through' points beside a new one become plain, and an end of an open outline stays what it is.
 */
export function setRole(doc, outlineId, index, role) {
  if (!ROLES.includes(role)) throw new RangeError(`'${role}' is no role of a point; it is plain, corner or through.`);
  const { points, closed } = outlineOf(doc, outlineId);
  const isEnd = !closed && (index === 0 || index === points.length - 1);
  if (role === 'through' && isEnd) return doc;
  const beside = [(index + 1) % points.length, (index - 1 + points.length) % points.length];
  const roleAt = (point, at) => (at === index ? role : role === 'through' && beside.includes(at) && roleOf(point) === 'through' ? 'plain' : roleOf(point));
  changedAt(points, index, (point) => point);
  return withPoints(doc, outlineId, () => points.map((point, at) => pointOf(point[0], point[1], roleAt(point, at))));
}

/** Lay a stretch of an outline straight; of a closed one it may run over the end of the list. See stretches.js. */
export function straighten(doc, outlineId, from, to) {
  return withOutline(doc, outlineId, (outline) => straightened(outline, from, to));
}

/** Take the corners off a stretch of an outline and even its points. See stretches.js. */
export function smoothen(doc, outlineId, from, to) {
  return withOutline(doc, outlineId, (outline) => smoothened(outline, from, to));
}

/** Draw one more outline; it gets an id of its own from its part, fit to stand in an address: 'sand-edge', 'sand-edge-2'. */
export function addOutline(doc, { part, curve, closed, points }) {
  points.forEach(([x, y]) => finite(x, y));
  const outline = { id: freeId(doc, part), part, curve, closed, points, level_m: null, above_ground_m: null };
  return { ...doc, outlines: [...doc.outlines, outline] };
}

/** Take an outline out. */
export const removeOutline = (doc, outlineId) => withOutline(doc, outlineId, () => null);

/** Say what an outline is, for instance 'mound foot'. */
export const setPart = (doc, outlineId, part) => withOutline(doc, outlineId, (outline) => ({ ...outline, part }));

/** Give an outline a level or a height above the ground, metres, or neither; never both. */
export function setHeights(doc, outlineId, { level_m = null, above_ground_m = null }) {
  if (level_m !== null && above_ground_m !== null) throw new RangeError('An outline has a level or a height above the ground; give one of the two.');
  finite(level_m ?? 0, above_ground_m ?? 0);
  return withOutline(doc, outlineId, (outline) => ({ ...outline, level_m, above_ground_m }));
}

/** Set the bunker's name, note or level of its floor (metres or null); what is not given stays. */
export function setFacts(doc, { name = doc.bunker.name, note = doc.bunker.note, floor_level_m = doc.bunker.floor_level_m }) {
  finite(floor_level_m ?? 0);
  return { ...doc, bunker: { ...doc.bunker, name, note, floor_level_m } };
}

/** Say what the bunker is meant to measure from a tee, or null for nothing. */
export const setPlan = (doc, plan) => ({ ...doc, plan });

const withPoints = (doc, outlineId, change) => withOutline(doc, outlineId, (outline) => ({ ...outline, points: change(outline.points) }));

function changedAt(points, index, change) {
  if (points[index] === undefined) throw new RangeError(`The outline has no point ${index + 1}; it has ${points.length}.`);
  return points.map((point, at) => (at === index ? change(point) : point));
}

function freeId(doc, part) {
  const taken = new Set(doc.outlines.map(({ id }) => id));
  const words = part.replaceAll(' ', '-');
  for (let number = 1; ; number += 1) {
    const id = number === 1 ? words : `${words}-${number}`;
    if (!taken.has(id)) return id;
  }
}
