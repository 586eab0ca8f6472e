// The sketch of a line being captured, on grass: the drawn line dotted, the measured one solid, pegs, string and points.

import { el, keepChildren, setAttribute, setText, svg } from './element.js';
import { boxAbout, createRoom, wordsBox } from './ground_room.js';
import { createGreenSign, createScaleBar, createStripes } from './ground_signs.js';
import { onScreen } from './turning.js';

/** The sketch: {node, size() in pixels, draw(picture)}; `onResize()` when it has another size. */
export function createCaptureSketch({ onResize }) {
  const [stripes, sign, bar] = [createStripes(), createGreenSign(), createScaleBar()];
  const lines = ['string', 'drawn', 'designed'].map((name) => [name, svg('path', { class: `sketch-${name}` })]);
  const [radius, ring] = [svg('circle', { class: 'error-circle' }), svg('circle', { class: 'sketch-ring', r: 11 })];
  const worker = svg('circle', { class: 'sketch-worker', r: 7 });
  const [pegs, points, words] = [svg('g', {}), svg('g', {}), svg('g', { class: 'numbers' })];
  const picture = svg('svg', { class: 'grass', role: 'img', 'aria-label': 'The measured line over the drawn one' },
    ...stripes.nodes, radius, ...lines.map(([, path]) => path), pegs, points, ring, worker, words, sign.node, bar.node);
  const node = el('div', { class: 'sketch' }, picture);
  let size = { width: 336, height: 200 };
  new ResizeObserver(([{ contentRect }]) => {
    if (contentRect.width === 0) return;
    size = contentRect;
    onResize();
  }).observe(node);

  const draw = (shown) => {
    const view = { ...shown, width: size.width, height: size.height, full: size, barPx: 100, room: createRoom(size) };
    const at = ({ x, y }) => onScreen(view, x, y);
    [stripes, sign, bar].forEach((layer) => layer.draw(view));
    lines.forEach(([name, path]) => setAttribute(path, 'd', pathOf(view[name].map(at))));
    drawSpots(pegs, view.pegs, at, (peg) => ['path', { class: `sketch-peg${peg.isUsed ? ' is-used' : ''}`, d: 'M-6 -8H6L0 9Z' }]);
    drawSpots(points, view.points, at, (point) => ['circle', { class: `sketch-point${point.isChosen ? ' is-chosen' : ''}`, r: point.isChosen ? 8 : 5 }]);
    place(ring, view.ring, at);
    place(worker, view.worker, at);
    place(radius, view.worker, at);
    setAttribute(radius, 'r', ((view.worker?.radiusM ?? 0) * view.frame.scale).toFixed(1));
    drawWords(words, view, at);
  };
  return { node, draw, size: () => ({ width: size.width, height: size.height }) };
}

const pathOf = (spots) => spots.map(([px, py], i) => `${i ? 'L' : 'M'}${px.toFixed(1)} ${py.toFixed(1)}`).join('');

function place(node, spot, at) {
  node.toggleAttribute('hidden', !spot);
  if (spot) setAttribute(node, 'transform', `translate(${at(spot).map((px) => px.toFixed(1)).join(' ')})`);
}

/** One shape a place, made anew only when there are others. */
function drawSpots(group, places, at, shapeOf) {
  const shapes = places.map(shapeOf);
  const made = keepChildren(group, places.length, (i) => svg(shapes[i][0]));
  made.forEach((shape, i) => {
    Object.entries(shapes[i][1]).forEach(([name, value]) => setAttribute(shape, name, value));
    place(shape, places[i], at);
  });
}

/** Names of pegs and numbers of points, the chosen and the last ones first, each where there is room. */
function drawWords(group, view, at) {
  const numbers = [...view.points].sort((a, b) => b.isChosen - a.isChosen || (b.number === view.points.length) - (a.number === view.points.length) || (b.number === 1) - (a.number === 1));
  const wanted = [...view.pegs.map((peg) => ({ ...peg, words: peg.id })), ...numbers.map((point) => ({ ...point, words: String(point.number) }))];
  view.pegs.forEach((peg) => view.room.take(boxAbout(at(peg), 9)));
  view.points.forEach((point) => view.room.take(boxAbout(at(point), 6)));
  const placed = wanted.map((one) => ({ ...one, spot: view.room.firstFree(spotsBeside(at(one)), (spot) => wordsBox(one.words, 15, spot)) })).filter(({ spot }) => spot !== null);
  keepChildren(group, placed.length, () => svg('text')).forEach((text, i) => {
    setText(text, placed[i].words);
    setAttribute(text, 'x', placed[i].spot[0].toFixed(1));
    setAttribute(text, 'y', (placed[i].spot[1] + 5).toFixed(1));
  });
}

const spotsBeside = ([px, py]) => [[0, -19], [0, 20], [22, 0], [-22, 0], [18, -16], [-18, -16], [18, 17], [-18, 17]].map(([dx, dy]) => [px + dx, py + dy]);
