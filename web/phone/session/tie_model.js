// Setting out by tape: what is shown of one paint point and its ties, made from the job, the pegs and what was chosen.

import { tieSheet } from '../geometry/ties.js';
import { outlineOf } from './job.js';
import { tapeButton, tapeUndo } from './tape_button.js';
import { tapeOf } from './tape.js';
import { tapePegs } from './tape_pegs.js';
import { groundOf, pointChoices, tiePoints } from './tape_points.js';
import { sketchOf } from './tape_sketch.js';
import { tiedWords, whyWords } from './tie_words.js';

/**
 * The model of the screen. `job` is aimed at an outline and its counted marks; `number` the point, `only` the ids of the pegs
 * to use or null for all, `pegs` as they stand.
 */
export function tieModel(job, pegs, { number, only }) {
  const scale = job.bundle.frame.ground_scale;
  const { usable, leftOut } = tapePegs(job, pegs);
  const chosen = only === null ? usable : usable.filter(({ id }) => only.includes(id));
  const points = tiePoints(outlineOf(job), scale);
  const point = points.find((p) => p.number === number) ?? points[0];
  const [found] = tieSheet([point], chosen, tapeOf(job));
  const used = found.ties.map((tie) => usable.find(({ id }) => id === tie.peg));
  return {
    point, found, used, leftOut,
    ...pointChoices(job, points),
    ...pegChoices(usable, only),
    ...(found.why === '' ? tiedWords(job, found, used, outlineOf(job).levels_basis) : whyWords(job, found.why, point, chosen, only !== null && chosen.length === 1)),
    button: found.why === '' ? tapeButton(job, point.number) : null,
    toPegs: found.why !== '',
    undo: tapeUndo(job),
    sketch: tieSketch(job, usable, used, point, points),
  };
}

/** The pegs to choose from, and in words which are used. */
function pegChoices(usable, only) {
  return {
    pegs: usable.map(({ id }) => ({ id, isOn: only !== null && only.includes(id) })),
    pegWords: only === null ? 'best of all' : `only ${only.join(', ') || 'none'}`,
  };
}

function tieSketch(job, usable, used, point, points) {
  const [first, second] = used;
  const shown = used.length > 0 ? used : usable;
  return sketchOf({
    ...groundOf(job, points),
    pegs: usable.map((peg) => ({ ...peg, isUsed: used.slice(0, 2).includes(peg) })),
    strings: used.map((peg, i) => [peg, point, i < 2 ? 'tape' : 'check']).concat(second ? [[first, second, 'base']] : []),
    rings: used.map((peg) => [peg, point]),
    target: { x: point.x, y: point.y, label: String(point.number) },
    fit: points.concat(shown),
  });
}
