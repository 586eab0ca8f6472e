// The screens of pegs and tape, in the order of the first one. A screen is {title, label, words(), node, show(), open(arg),
// leave()}: `label` and `words()` are its row on the first screen, none without a label; the rest may be left out.

import { createCapture } from './capture.js';
import { createMorning } from './morning.js';
import { createMoved } from './moved.js';
import { createResetting } from './resetting.js';
import { createSettingByLine } from './setting_by_line.js';
import { createSettingByTape } from './setting_by_tape.js';

/** {name: screen}; `on` is what the page gives each: see pegs.js. */
export function createTapeScreens(on) {
  return Object.fromEntries(MAKERS.map(([name, make]) => [name, make(on)]));
}

const MAKERS = [
  ['morning', createMorning],
  ['ties', createSettingByTape],
  ['line', createSettingByLine],
  ['moved', createMoved],
  ['reset', createResetting],
  ['capture', createCapture],
];
