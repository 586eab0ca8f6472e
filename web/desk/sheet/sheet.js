// The sheet on the board: the plan in course metres with all its layers, and how it lies over the ground.

import { svg } from '../../phone/view/element.js';
import { at as onLine } from '../../phone/geometry/line_of_play.js';
import { createArcs } from './arcs.js';
import { cameraAt, closer, over, pulled, sized, toSheet, turned } from './camera.js';
import { createDrawn } from './drawn.js';
import { createFrame } from './frame.js';
import { createGround, LAYERS } from './ground.js';
import { createMarks } from './marks.js';

const [MARGIN_PX, MARGIN_SHARE, FIRST_PX_PER_M, FAR_PX_PER_M] = [56, 0.09, 4, 1.6];

/**
 * A sheet in `node`: four films one over the other, so that what changes while something is dragged lies by itself. `state()` gives what the bench holds; `draw()` draws it at once, in two halves where need be. `look` holds what a
 * person does to the sheet: {whole, bunker, seek, pull, zoom, stand(way), layer(name, isOn)}.
 */
export function createSheet(node, board, ownId, state) {
  const [ground, frame, arcs, drawn, marks] = [createGround(board, ownId), createFrame(board), createArcs(board), createDrawn(board), createMarks()];
  frame.grid.dataset.layer = 'grid';
  const films = [[ground.areas, frame.grid, ground.signs, frame.signs], [arcs.group, drawn.group], [marks.rest], [marks.chosen]]
    .map((groups) => svg('svg', { class: 'board-film', 'aria-hidden': 'true' }, ...groups));
  node.replaceChildren(...films);
  node.classList.toggle('over-picture', board.backdrops.length > 0);
  let [stands, camera, groundFor, nearBoxes] = ['play', null, null, []];

  const tee = () => board.tees.find(({ id }) => id === state().teeId) ?? board.tees[0];
  const playDeg = () => state().figures?.play_bearing_deg ?? onLine(tee().line, lengthOf(tee().line)).bearingDeg;
  const wholeHole = () => [board.hole.green, ...board.tees.flatMap(({ line }) => line), ...board.bunkers.flatMap(({ outlines }) => outlines.flatMap(({ trace }) => trace))];
  const ownPlaces = () => Object.values(state().figures?.traces ?? {}).flat();
  const upDeg = () => (stands === 'play' ? playDeg() : -board.convergence_deg);

  /** The ground, the outlines and their points: what follows the finger. */
  const drawShape = () => {
    if (camera === null) return;
    if (groundFor !== camera) {
      ground.draw(camera);
      frame.draw(camera, playDeg());
      node.classList.toggle('far-off', camera.pxPerM < FAR_PX_PER_M);
      groundFor = camera;
    }
    const now = state();
    if (now.doc === null) return;
    drawn.draw(camera, now);
    marks.draw(camera, now);
  };

  /** The ways to what lies near; their words keep off those of the arcs as these lie by then. */
  const drawNear = () => {
    if (camera !== null && state().doc !== null) nearBoxes = drawn.drawNear(camera, state(), arcs.boxes());
  };

  /** Reach and carry as arcs; what was drawn before them in a drag is drawn again once it ends. */
  const drawArcs = () => {
    if (camera === null) return;
    arcs.draw(camera, tee(), state().figures);
    if (!state().isDragging) drawNear();
    const measured = [...arcs.boxes(), ...nearBoxes];
    arcs.giveWay([...measured, ...ground.giveWay(measured)]);
  };

  const draw = () => {
    drawShape();
    drawArcs();
  };

  const marginPx = (times) => Math.min(times * MARGIN_PX, times * MARGIN_SHARE * Math.min(camera.width, camera.height));

  const show = (next) => {
    camera = next;
    draw();
  };

  const look = {
    whole: () => show(over(turned(camera, upDeg()), wholeHole(), marginPx(1))),
    bunker: () => (ownPlaces().length ? show(over(turned(camera, upDeg()), ownPlaces(), marginPx(2))) : look.whole()),
    /** Show the bunker where some of it has left the sheet. */
    seek: () => {
      const isOn = ([px, py]) => px >= 0 && py >= 0 && px <= camera.width && py <= camera.height;
      if (!ownPlaces().every(([x, y]) => isOn(toSheet(camera, x, y)))) look.bunker();
    },
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
    films.forEach((film) => film.setAttribute('viewBox', `0 0 ${width} ${height}`));
    if (camera) return void show(sized(camera, width, height));
    camera = cameraAt(board.hole.green, FIRST_PX_PER_M, upDeg(), width, height);
    look.bunker();
  };
  new ResizeObserver(fit).observe(node);
  fit();

  return { draw, drawShape, drawNear, drawArcs, look, camera: () => camera, layers: LAYERS };
}

const lengthOf = (line) => line.slice(1).reduce((sum, [x, y], at) => sum + Math.hypot(x - line[at][0], y - line[at][1]), 0);
