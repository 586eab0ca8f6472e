// Room for words on the grass: boots, target and its number come first, and no word may lie over another one.

const LETTER = 0.62;

/** The box {left, top, right, bottom} of words in bold figures of `sizePx`, their middle at x, y. */
export function wordsBox(words, sizePx, [x, y]) {
  const [w, h] = [(words.length * LETTER * sizePx) / 2 + 3, sizePx / 2 + 2];
  return { left: x - w, right: x + w, top: y - h, bottom: y + h };
}

/** A square box of half a side `halfPx` about a spot. */
export function boxAbout([x, y], halfPx) {
  return { left: x - halfPx, right: x + halfPx, top: y - halfPx, bottom: y + halfPx };
}

/** The room of a picture: {take(box), firstFree(spots, boxOf)}; `firstFree` takes the first spot that is free, or null. */
export function createRoom({ width, height }) {
  const taken = [];
  const isFree = (box) => box.left >= 2 && box.top >= 2 && box.right <= width - 2 && box.bottom <= height - 2
    && taken.every((other) => box.right <= other.left || box.left >= other.right || box.bottom <= other.top || box.top >= other.bottom);
  const take = (box) => { taken.push(box); };
  const firstFree = (spots, boxOf) => {
    const spot = spots.find((one) => isFree(boxOf(one))) ?? null;
    if (spot !== null) take(boxOf(spot));
    return spot;
  };
  return { take, firstFree };
}
