// Where words stand on the sheet so that none lies on another. A box is {left, top, width, height}, pixels; widths are by the letter.

import { toSheet } from './camera.js';

const LETTER = 0.51;
const [LINE_PX, EVERY_PX] = [12, 14];
const [GAP_PX, EDGE_PX, AWAY_PX] = [3, 6, 9];

/** The box of words that begin at (x, y), their base line; of `sizePx` letters. */
export const boxOf = (x, y, words, sizePx) => ({ left: x, top: y - 0.8 * sizePx, width: words.length * LETTER * sizePx, height: sizePx });

/** Whether two boxes lie on one another, or nearly. */
export function meets(one, other) {
  return one.left < other.left + other.width + GAP_PX && other.left < one.left + one.width + GAP_PX
    && one.top < other.top + other.height + GAP_PX && other.top < one.top + one.height + GAP_PX;
}

/** The box of the two arrows in the corner of a sheet. */
export const cornerBox = (camera) => ({ left: camera.width - 100, top: 16, width: 96, height: 72 });

/**
 * The box for words about the way from one place [px, py] to another: beyond the other, where what the way begins at cannot be;
 * higher or lower where one of `taken` lies there. It stays on the sheet.
 */
export function boxBeyond(camera, [ax, ay], [bx, by], words, sizePx, taken) {
  const width = boxOf(0, 0, words, sizePx).width;
  const isAside = Math.abs(bx - ax) >= Math.abs(by - ay);
  const x = isAside ? (bx > ax ? bx + AWAY_PX : bx - AWAY_PX - width) : bx - width / 2;
  const y = isAside ? by + 0.35 * sizePx : by > ay ? by + AWAY_PX + sizePx : by - AWAY_PX;
  const left = Math.min(camera.width - EDGE_PX - width, Math.max(EDGE_PX, x));
  const tried = [0, -1, 1, -2, 2].map((step) => boxOf(left, y + step * 1.4 * sizePx, words, sizePx));
  return tried.find((box) => !taken.some((other) => meets(box, other))) ?? tried[0];
}

/** The place [x, y] of the base line of the words in a box. */
export const placeOf = ({ left, top, height }) => [left, top + 0.8 * height];

/** Boxes along a trace [[x, y]] of course metres, as its line and the signs of its points cover the sheet. */
export function boxesAlong(camera, trace) {
  const boxes = [];
  let [lastX, lastY] = [Infinity, Infinity];
  trace.forEach(([x, y]) => {
    const [px, py] = toSheet(camera, x, y);
    if (Math.abs(px - lastX) < EVERY_PX && Math.abs(py - lastY) < EVERY_PX) return;
    boxes.push({ left: px - LINE_PX / 2, top: py - LINE_PX / 2, width: LINE_PX, height: LINE_PX });
    [lastX, lastY] = [px, py];
  });
  return boxes;
}
