// That another plan stands, above the figures, with the one tap that takes it.

import { el, setAttribute, setText } from './element.js';
import { supersededSign } from './superseded_sign.js';

/** The notice: {node, show({kind, title, words, take} or null)}. */
export function createPlanNotice({ onTake }) {
  const [title, words] = [el('strong', {}), el('span', {})];
  const sign = supersededSign();
  const take = el('button', { class: 'tool', type: 'button', onclick: onTake });
  const node = el('div', { class: 'plan-notice', hidden: true }, sign, el('p', { role: 'status' }, title, words), take);
  const show = (notice) => {
    node.hidden = notice === null;
    setAttribute(node, 'data-kind', notice?.kind ?? 'none');
    sign.toggleAttribute('hidden', notice?.kind !== 'superseded');
    setText(title, notice?.title ?? '');
    setText(words, notice?.words ?? '');
    setText(take, notice?.take ?? '');
    take.hidden = (notice?.take ?? null) === null;
  };
  return { node, show };
}
