// What lies on the ground and does not change here: pictures, fairway, green, lines of play, other bunkers, pegs, tees.
// Areas and lines are drawn once, in metres from an origin; the sheet only moves their group.

import { setAttribute, svg } from '../../phone/view/element.js';
import { groundMatrix, toSheet } from './camera.js';
import { boxOf, meets } from './labels.js';

/** The layers a person can take off and put on, with what they are called. */
export const LAYERS = [
  ['backdrops', 'pictures'], ['grid', 'grid'], ['fairway', 'fairway'], ['lines', 'lines of play'], ['others', 'other bunkers'],
  ['clear', 'what to keep clear of'], ['pegs', 'pegs'], ['arcs', 'carry arcs'], ['names', 'names'],
];

const [NAME_X, NAME_Y, NAME_PX] = [12, 4, 12];
const TEE = 'M-9 -3.5H9V3.5H-9Z';
const PEG = 'M0 -9V4M-4.5 -9H4.5';
const PLACE_SIGN = 'M-5 -5L5 5M-5 5L5 -5';

/**
 * {areas, signs, draw(camera), giveWay(boxes)}: a group in metres, one in pixels; no name lies on one before it, and `giveWay` hides
 * those that lie on any of some boxes and gives the boxes of the others. `ownId` is the bunker on the board.
 */
export function createGround(board, ownId) {
  const origin = board.hole.green;
  const near = (places) => places.map(([x, y]) => [x - origin[0], y - origin[1]]);
  const pathOf = (places, closed) => `M${near(places).map(([x, y]) => `${x.toFixed(3)} ${y.toFixed(3)}`).join('L')}${closed ? 'Z' : ''}`;
  const others = board.bunkers.filter((bunker) => bunker.id !== ownId);
  const areas = svg(
    'g', { class: 'board-ground' },
    layer('backdrops', board.backdrops.map((picture) => backdrop(picture, origin))),
    layer('fairway', board.hole.fairway.length ? [svg('path', { class: 'fairway', d: pathOf(board.hole.fairway, true) })] : []),
    svg('circle', { class: 'green-area', cx: 0, cy: 0, r: 9 / board.ground_scale }),
    layer('clear', board.keep_clear.flatMap((thing) => keepClear(thing, pathOf, board.ground_scale))),
    layer('lines', board.tees.map((tee) => svg('path', { class: 'play-line', d: pathOf(tee.line, false) }))),
    layer('others', others.flatMap((bunker) => bunker.outlines.map((one) => svg('path', { class: `outline outline-${dashed(one.part)}`, d: pathOf(one.trace, one.closed) })))),
  );
  const spots = [
    ...board.tees.map((tee) => spot('tees', tee.x, tee.y, TEE, tee.name)),
    ...others.filter((bunker) => bunker.outlines.length).map((bunker) => spot('others', ...middleOf(bunker.outlines[0].trace), '', bunker.name)),
    ...board.keep_clear.map((thing) => spot('clear', ...thing.points[0], thing.extent === 'point' ? PLACE_SIGN : '', thing.name || thing.kind)),
    ...board.pegs.map((peg) => spot('pegs', peg.x, peg.y, PEG, peg.id)),
  ];
  const signs = svg('g', { class: 'board-spots' }, ...spots.map((one) => one.node));
  let names = [];
  const draw = (camera) => {
    setAttribute(areas, 'transform', groundMatrix(camera, origin));
    names = [];
    spots.forEach(({ node, x, y, name }) => {
      const [px, py] = toSheet(camera, x, y);
      setAttribute(node, 'transform', `translate(${px.toFixed(1)} ${py.toFixed(1)})`);
      const box = boxOf(px + NAME_X, py + NAME_Y, name, NAME_PX);
      const isCovered = names.some((other) => meets(box, other));
      setAttribute(node.lastChild, 'visibility', isCovered ? 'hidden' : null);
      if (!isCovered) names.push({ ...box, text: node.lastChild });
    });
  };
  const giveWay = (boxes) => names.filter((name) => {
    const isCovered = boxes.some((other) => meets(name, other));
    setAttribute(name.text, 'visibility', isCovered ? 'hidden' : null);
    return !isCovered;
  });
  return { areas, signs, draw, giveWay };
}

const layer = (name, children) => svg('g', { 'data-layer': name }, ...children);

const dashed = (words) => words.replaceAll(' ', '-');

/** A picture under the plan: `world` are A, D, B, E, C, F at the centres of its pixels. */
function backdrop({ url, width, height, world: [a, d, b, e, c, f] }, [x, y]) {
  const [left, top] = [c - x - (a + b) / 2, f - y - (d + e) / 2];
  return svg('image', { href: url, width, height, preserveAspectRatio: 'none', transform: `matrix(${a} ${d} ${b} ${e} ${left} ${top})` });
}

/** A thing to keep clear of: the ground within its clearance, and itself. */
function keepClear(thing, pathOf, groundScale) {
  const isArea = thing.extent === 'area';
  const places = thing.points.length === 1 ? [thing.points[0], thing.points[0]] : thing.points;
  const d = pathOf(places, isArea);
  return [
    svg('path', { class: 'clear-room', d, 'stroke-width': (2 * thing.clearance_m) / groundScale }),
    svg('path', { class: `clear-thing clear-${thing.is_service ? 'service' : 'other'}${isArea ? ' clear-area' : ''}`, d }),
  ];
}

function spot(layerName, x, y, d, name) {
  const text = svg('text', { 'data-layer': 'names', x: NAME_X, y: NAME_Y }, name);
  return { x, y, name, node: svg('g', { 'data-layer': layerName, class: `board-spot spot-${layerName}` }, svg('path', { d }), text) };
}

function middleOf(trace) {
  const xs = trace.map((place) => place[0]);
  const ys = trace.map((place) => place[1]);
  return [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
}
