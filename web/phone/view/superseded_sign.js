// The picture of a revision that stands no more: the old line dotted, the new one sprayed over it.

import { svg } from './element.js';

/** The sign, to stand beside words. */
export function supersededSign() {
  return svg('svg', { class: 'superseded-sign', viewBox: '0 0 40 40', 'aria-hidden': 'true' },
    svg('path', { class: 'superseded-old', d: 'M4 15A11 10 0 0 1 26 15A11 10 0 0 1 4 15Z' }),
    svg('path', { class: 'superseded-new', d: 'M13 26A11 10 0 0 1 35 26A11 10 0 0 1 13 26Z' }));
}
