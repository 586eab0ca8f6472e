// How a peg stands, by shape, not by colour: the same signs as on the desk (_peg_sign.html).

import { svg } from './element.js';

const GROUND = 'M2 28H38';
const STAKE = 'M15 6H25V28L20 38L15 28Z';
const BESIDE = { new: ['peg-cross', 'M33 6V18M27 12H39'], reset: ['peg-arrow', 'M30 20A8 8 0 1 0 30 8M30 2V9H37'], found: ['peg-cross', 'M28 13L32 18L39 7'] };

const path = (name, d) => svg('path', { class: name, d });

/** A sign of a state: a stake in the ground, leaning where it has moved, an empty hole where it is missing, above its place where it is planned. */
export function pegSign(state) {
  return svg('svg', { class: 'peg-sign', viewBox: '0 0 40 40', 'aria-hidden': 'true' }, ...partsOf(state));
}

function partsOf(state) {
  if (state === 'missing') return [path('peg-ground', 'M2 28H13L20 38L27 28H38'), path('peg-cross', 'M11 7L29 23M29 7L11 23')];
  if (state === 'moved') {
    return [path('peg-ground', GROUND), path('peg-was', 'M9 28V6H17V28'), svg('g', { transform: 'rotate(28 28 28)' }, path('peg-wood', 'M24 6H32V28L28 36L24 28Z'))];
  }
  if (state === 'planned') {
    return [path('peg-ground', 'M2 36H38'), path('peg-was', 'M15 3H25V17L20 25L15 17Z'), path('peg-arrow', 'M20 26V34M15.5 29.5L20 34L24.5 29.5')];
  }
  const beside = BESIDE[state];
  return [path('peg-ground', GROUND), path(state === 'none' ? 'peg-hollow' : 'peg-wood', STAKE), ...(beside ? [path(...beside)] : [])];
}
