// The outlines of a draft: found by id, changed one at a time; whatever is not changed stays the same object.

export const roleOf = (point) => point[2] ?? 'plain';

/** A control point as a draft writes it: a plain one says no role. */
export const pointOf = (x, y, role) => (role === 'plain' ? [x, y] : [x, y, role]);

/** One outline of a draft; throws RangeError where it has none of that id. */
export function outlineOf(doc, outlineId) {
  const found = doc.outlines.find(({ id }) => id === outlineId);
  if (found === undefined) throw new RangeError(`The draft has no outline '${outlineId}'.`);
  return found;
}

/** The draft with what `change` makes of one outline; null takes it out. */
export function withOutline(doc, outlineId, change) {
  const [was, is] = [outlineOf(doc, outlineId), change(outlineOf(doc, outlineId))];
  if (is === was) return doc;
  return { ...doc, outlines: doc.outlines.flatMap((outline) => (outline !== was ? [outline] : is === null ? [] : [is])) };
}

/** The draft with all its points moved by `place`, which takes x, y and gives [x, y]. */
export function withPlaces(doc, place) {
  const moved = (point) => {
    const to = place(point[0], point[1]);
    if (!Number.isFinite(to[0] + to[1])) finite(...to);
    return pointOf(to[0], to[1], roleOf(point));
  };
  return { ...doc, outlines: doc.outlines.map((outline) => ({ ...outline, points: outline.points.map(moved) })) };
}

/** Points whose arcs can be drawn: a 'through' point beside another, or at an end of an open outline, becomes plain. */
export function withSoundArcs(points, closed) {
  return points.reduce((kept, point, index) => {
    const isEnd = !closed && (index === 0 || index === points.length - 1);
    const isBeside = index > 0 && roleOf(kept[index - 1]) === 'through';
    const meetsFirst = closed && index > 0 && index === points.length - 1 && roleOf(kept[0]) === 'through';
    const unsound = roleOf(point) === 'through' && (isEnd || isBeside || meetsFirst);
    return [...kept, unsound ? [point[0], point[1]] : point];
  }, []);
}

/** The numbers as they are; throws RangeError for one that is none. */
export function finite(...numbers) {
  const wrong = numbers.find((number) => !Number.isFinite(number));
  if (wrong !== undefined || numbers.includes(undefined)) throw new RangeError(`'${wrong}' is not a number; give a length in figures.`);
  return numbers;
}
