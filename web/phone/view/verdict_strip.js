// The verdict by shape and words: an arrow, a closed ring, an open ring with a gap.

import { el, setAttribute, setText, svg } from './element.js';

const SHAPES = {
  outside: 'M0 19V-17M-14 -4L0 -18L14 -4',
  inside: 'M0 -17A17 17 0 0 1 0 17A17 17 0 0 1 0 -17Z',
  'cannot tell': 'M9 -14.400A17 17 0 1 0 17 0',
};

/** The strip: {node, show(verdict)} with verdict {kind, title, detail, turnDeg}. A new title is read out, the detail is not: it holds figures. */
export function createVerdictStrip({ className = 'verdict' } = {}) {
  const shape = svg('path', { class: 'sign' });
  const core = svg('circle', { class: 'sign-core', r: 6 });
  const title = el('strong', { role: 'status' });
  const detail = el('span', {});
  const node = el('section', { class: `strip ${className}`, 'aria-label': 'Verdict' },
    svg('svg', { viewBox: '-24 -24 48 48', 'aria-hidden': 'true' }, shape, core),
    el('p', {}, title, detail));
  const show = ({ kind, title: words, detail: more, turnDeg }) => {
    setAttribute(node, 'data-verdict', kind);
    setAttribute(shape, 'd', SHAPES[kind]);
    setAttribute(shape, 'transform', `rotate(${kind === 'outside' ? turnDeg.toFixed(0) : 0})`);
    core.toggleAttribute('hidden', kind !== 'inside');
    setText(title, words);
    setText(detail, more);
  };
  return { node, show };
}
