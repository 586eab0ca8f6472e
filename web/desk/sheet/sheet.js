// The sheet on the board: the plan in course metres with all its layers, and how it lies over the ground.

import { at as onLine } from '../../phone/geometry/line_of_play.js';
import { createArcs } from './arcs.js';
import { cameraAt, closer, over, pulled, sized, turned } from './camera.js';
import { createDrawn } from './drawn.js';
import { createFrame } from './frame.js';
import { createGround, LAYERS } from './ground.js';

const [MARGIN_PX, FIRST_PX_PER_M] = [56, 4];

/**
 * A sheet in `node`, an svg element. `state()` gives what the bench holds; `draw()` draws it at once. `look` holds what a
 * person does to the sheet: {whole, bunker, closer, pull, zoom, stand(way), layer(name, isOn)}.
 */
export function createSheet(node, board, ownId, state) {
  const [ground, frame, arcs, drawn] = [createGround(board, ownId), createFrame(board), createArcs(board), createDrawn(board)];
  frame.grid.dataset.layer = 'grid';
  node.replaceChildren(ground.areas, frame.grid, arcs.group, drawn.group, ground.signs, frame.signs);
  let [stands, camera, groundFor] = ['play', null, null];

  const tee = () => board.tees.find(({ id }) => id === state().teeId) ?? board.tees[0];
  const playDeg = () => onLine(tee().line, bearingFrom()).bearingDeg;
  const bearingFrom = () => (state().figures ? state().figures.along_m / board.ground_scale : lengthOf(tee().line));
  const wholeHole = () => [board.hole.green, ...board.tees.flatMap(({ line }) => line), ...board.bunkers.flatMap(({ outlines }) => outlines.flatMap(({ trace }) => trace))];
  const ownPlaces = () => (state().figures ? Object.values(state().figures.traces).flat() : []);
  const upDeg = () => (stands === 'play' ? playDeg() : -board.convergence_deg);

  const draw = () => {
    if (camera === null) return;
    if (groundFor !== camera) {
      ground.draw(camera);
      frame.draw(camera, playDeg());
      groundFor = camera;
    }
    const now = state();
    arcs.draw(camera, tee(), now.figures);
    drawn.draw(camera, now.doc ? now : { ...now, doc: { outlines: [] }, figures: { traces: {}, clearances: [] } });
  };

  const show = (next) => {
    camera = next;
    draw();
  };

  const look = {
    whole: () => show(over(turned(camera, upDeg()), wholeHole(), MARGIN_PX)),
    bunker: () => (ownPlaces().length ? show(over(turned(camera, upDeg()), ownPlaces(), 2 * MARGIN_PX)) : look.whole()),
    pull: (right, down) => show(pulled(camera, right, down)),
    zoom: (factor, px, py) => show(closer(camera, factor, px, py)),
    stand: (way) => {
      stands = way;
      show(turned(camera, upDeg()));
    },
    layer: (name, isOn) => node.classList.toggle(`without-${name}`, !isOn),
  };

  const fit = () => {
    const { width, height } = node.getBoundingClientRect();
    if (width === 0 || height === 0) return;
    node.setAttribute('viewBox', `0 0 ${width} ${height}`);
    if (camera) return void show(sized(camera, width, height));
    camera = cameraAt(board.hole.green, FIRST_PX_PER_M, upDeg(), width, height);
    look.bunker();
  };
  new ResizeObserver(fit).observe(node);
  fit();

  return { draw, look, camera: () => camera, layers: LAYERS };
}

const lengthOf = (line) => line.slice(1).reduce((sum, [x, y], at) => sum + Math.hypot(x - line[at][0], y - line[at][1]), 0);
