// The screens of pegs and tape, in the order of the first one. A screen is {title, label, words(), node, show(), open(arg),
// leave()}: `label` and `words()` are its row on the first screen, none without a label; the rest may be left out.

import { createResetting } from './resetting.js';
import { createSettingByLine } from './setting_by_line.js';
import { createSettingByTape } from './setting_by_tape.js';

/** {name: screen}; `on` is what the page gives each: see pegs.js. */
export function createTapeScreens(on) {
  return Object.fromEntries(MAKERS.map(([name, make]) => [name, make(on)]));
}

const MAKERS = [
  ['ties', createSettingByTape],
  ['line', createSettingByLine],
  ['reset', createResetting],
];
