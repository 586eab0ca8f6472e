// The screen that sets out from a string between two pegs.

import { lineModel } from './session/line_model.js';
import { spacingTyped } from './session/line_spacing.js';
import { tapeSign, tapeParts } from './session/tape_words.js';
import { createTapePoint } from './tape_point.js';
import { createLinePage } from './view/line_page.js';

const FIRST_STEP_M = { metre: 2, foot: 6 * 0.3048 };

/** The screen; `on` is what pegs.js gives every screen. */
export function createSettingByLine(on) {
  let state = { startId: null, endId: null, everyM: null, index: 0, everyFault: null };
  const point = createTapePoint(on, { button: () => page.button });
  const unit = () => on.current().bundle.site.units.ground;
  const take = (next) => { state = { ...state, ...next }; on.refresh(); };
  const model = () => ({
    ...lineModel(point.job(), on.pegs(), { ...state, number: point.number() }),
    everyFault: state.everyFault, everyTyped: state.everyM === null ? '' : tapeParts(state.everyM, unit())[0], sign: tapeSign(unit()),
  });

  const step = (by) => {
    const { count } = model();
    if (state.everyM === null) point.step(by);
    else if (count > 0) take({ index: (Math.min(state.index, count - 1) + by + count) % count });
  };

  /** Another peg at one end; the peg of the other end there turns the string about. */
  const end = (name, id) => {
    const { startId, endId } = model();
    const before = { startId, endId };
    const other = name === 'startId' ? 'endId' : 'startId';
    take({ ...before, [name]: id, ...(before[other] === id ? { [other]: before[name] } : {}) });
  };
  const turn = () => { const { startId, endId } = model(); take({ startId: endId, endId: startId, index: 0 }); };
  const every = (text) => {
    const { lengthM, fault } = spacingTyped(text, unit());
    take(lengthM === undefined ? { everyFault: fault ?? null } : { everyM: lengthM, everyFault: null, index: 0 });
  };
  const mode = (name) => take({ everyM: name === 'points' ? null : FIRST_STEP_M[unit()], everyFault: null, index: 0 });

  const page = createLinePage({ ...point, number: point.choose, step, end, turn, every, mode, toPegs: () => on.go('board') });
  return {
    title: 'From a string line',
    label: 'From a string line',
    words: () => 'along the string and square to it',
    node: page.node,
    show: () => page.show(model()),
  };
}
