// What frames the plan: the grid, the scale bar, north, and which way play goes. All in pixels of the sheet.

import { keepChildren, setAttribute, setText, svg } from '../../phone/view/element.js';
import { onSheetDeg, toCourse, toSheet } from './camera.js';

const STEPS_M = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
const BAR_STEPS = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
const [LEAST_GRID_PX, MOST_BAR_PX] = [64, 170];
const FOOT_M = 0.3048;

/** {grid, signs}: two groups, and `draw(camera, bearingOfPlayDeg)`, which fills them. */
export function createFrame(board) {
  const grid = svg('g', { class: 'board-grid' });
  const [bar, north, play] = [barSign(), arrowSign('N'), arrowSign('play')];
  const signs = svg('g', { class: 'board-signs' }, bar.node, north.node, play.node);
  const draw = (camera, playDeg) => {
    drawGrid(grid, camera, board.ground_scale);
    bar.draw(camera, board);
    north.draw(camera.width - 30, 42, onSheetDeg(camera, -board.convergence_deg));
    play.draw(camera.width - 76, 42, onSheetDeg(camera, playDeg));
  };
  return { grid, signs, draw };
}

function barSign() {
  const [path, label] = [svg('path'), svg('text', { y: -9 })];
  const node = svg('g', { class: 'board-bar' }, path, label);
  return {
    node,
    draw(camera, board) {
      const [oneM, sign] = board.units.ground === 'foot' ? [FOOT_M, 'ft'] : [1, 'm'];
      const px = (camera.pxPerM * oneM) / board.ground_scale;
      const length = BAR_STEPS.findLast((step) => step * px <= MOST_BAR_PX) ?? BAR_STEPS[0];
      setAttribute(node, 'transform', `translate(18 ${camera.height - 18})`);
      setAttribute(path, 'd', `M0 -5V0H${(length * px).toFixed(2)}V-5M${((length * px) / 2).toFixed(2)} -3V0`);
      setAttribute(node, 'data-metres', length * oneM);
      setText(label, `${length} ${sign}`);
    },
  };
}

/** A shaft with a half barb, as on the hole sheets, and its word beneath. */
function arrowSign(word) {
  const shaft = svg('path', { d: 'M0 16V-16L-6 -5M0 -16L6 -5' });
  const node = svg('g', { class: `board-arrow arrow-${word === 'N' ? 'north' : 'play'}` }, shaft, svg('text', { y: 36, 'text-anchor': 'middle' }, word));
  return {
    node,
    draw(x, y, turnDeg) {
      setAttribute(node, 'transform', `translate(${x} ${y})`);
      setAttribute(shaft, 'transform', `rotate(${turnDeg.toFixed(2)})`);
    },
  };
}

function drawGrid(group, camera, groundScale) {
  const step = STEPS_M.find((one) => (one / groundScale) * camera.pxPerM >= LEAST_GRID_PX) ?? STEPS_M.at(-1);
  const corners = [[0, 0], [camera.width, 0], [0, camera.height], [camera.width, camera.height]].map(([px, py]) => toCourse(camera, px, py));
  const lines = [0, 1].flatMap((axis) => linesAcross(camera, corners, axis, step));
  keepChildren(group, lines.length, () => svg('path')).forEach((line, at) => setAttribute(line, 'd', lines[at]));
}

/** The grid lines of one axis, every `step` course metres, as far as they cross the sheet. */
function linesAcross(camera, corners, axis, step) {
  const [along, other] = [0, 1].map((turn) => corners.map((corner) => corner[(axis + turn) % 2]));
  const [first, last] = [Math.ceil(Math.min(...along) / step), Math.floor(Math.max(...along) / step)];
  const ends = [Math.min(...other), Math.max(...other)];
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, at) => {
    const value = (first + at) * step;
    const [from, to] = ends.map((end) => toSheet(camera, ...(axis === 0 ? [value, end] : [end, value])));
    return `M${from[0].toFixed(1)} ${from[1].toFixed(1)}L${to[0].toFixed(1)} ${to[1].toFixed(1)}`;
  });
}
