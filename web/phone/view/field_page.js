// The phone's own page of a site: what is kept, what waits, and a large row for every bunker.

import { el, setText, svg } from './element.js';
import { createReadyList } from './ready_list.js';
import { supersededSign } from './superseded_sign.js';

/** The page: {node, show(model), showReady(rows, verdict), showNewer(words or null), readyNote(words)}. */
export function createFieldPage({ planHref, placesHref, onReady, onSend, onNewer }) {
  const [title, kept, fault] = [el('h1', {}), el('p', { class: 'kept' }), el('p', { class: 'warning', role: 'status', hidden: true })];
  const [send, records] = [el('strong', {}), el('span', {})];
  const sendNow = el('button', { class: 'tool', type: 'button', onclick: onSend }, 'Send now');
  const newer = createNewer(onNewer);
  const ready = createReadyList();
  const [go, note] = [el('strong', {}, 'Get ready for the field'), el('span', {})];
  const button = el('button', { class: 'main-button', type: 'button', onclick: onReady }, go, note);
  const holes = el('div', { class: 'holes' });
  ready.node.hidden = true;
  const node = el('div', { class: 'field-page' },
    el('header', { class: 'field-head' }, el('div', {}, title, kept)),
    el('div', { class: 'field-yard' }, fault, newer.node,
      button, ready.node,
      el('section', { class: 'field-records', 'aria-label': 'Records' }, el('p', {}, send, records), sendNow)),
    holes,
    el('a', { class: 'field-plan', href: planHref }, 'Plan of the site (needs signal)'),
    el('a', { class: 'field-plan', href: placesHref }, 'Read places with this phone'));
  const show = (model) => {
    setText(title, model.title);
    setText(kept, model.kept);
    fault.hidden = model.fault === null;
    setText(fault, model.fault ?? '');
    setText(send, model.send);
    setText(records, model.records);
    sendNow.hidden = !model.canSend;
    showHoles(holes, model.holes);
  };
  const showReady = (rows, verdict) => {
    ready.node.hidden = false;
    ready.show(rows, verdict);
    setText(go, verdict.state === 'checking' ? 'Checking …' : 'Check again');
    note.hidden = true;
    button.classList.add('is-quiet');
  };
  return { node, show, showReady, showNewer: newer.show, readyNote: (words) => setText(note, words) };
}

function createNewer(onNewer) {
  const words = el('p', {});
  const node = el('div', { class: 'field-newer', role: 'status', hidden: true }, words, el('button', { class: 'tool', type: 'button', onclick: onNewer }, 'Take it'));
  const show = (text) => {
    node.hidden = text === null;
    setText(words, text ?? '');
  };
  return { node, show };
}

function showHoles(list, holes) {
  const key = JSON.stringify(holes);
  if (list.dataset.shown === key) return;
  list.dataset.shown = key;
  list.replaceChildren(...holes.map((hole) => el('section', { class: 'hole' },
    el('h2', {}, hole.name), el('p', { class: 'hole-kept' }, hole.kept), ...hole.bunkers.map(bunkerRow))));
}

function bunkerRow({ name, href, pegsHref, revision, progress, points, done, isKept, superseded }) {
  return el('div', { class: 'bunker-card', 'data-kept': String(isKept) },
    el('a', { class: 'bunker-row', href },
      el('span', { class: 'bunker-words' }, el('strong', {}, name), el('span', {}, `revision ${revision}`), el('b', {}, progress)), paintLine(points, done ?? 0)),
    ...(superseded === null ? [] : [el('div', { class: 'bunker-superseded' }, supersededSign(), el('p', {}, el('strong', {}, superseded.title), el('span', {}, superseded.words)))]),
    el('a', { class: 'bunker-pegs', href: pegsHref, 'aria-label': `Pegs and tape of ${name}` }, 'Pegs and tape'));
}

/** How far the line is sprayed, as on the grass: solid paint, then dots. */
function paintLine(points, done) {
  const end = 4 + (points === 0 ? 0 : done / points) * 292;
  return svg('svg', { class: 'paint-line', viewBox: '0 0 300 14', preserveAspectRatio: 'none', 'aria-hidden': 'true' },
    svg('path', { class: 'paint-todo', d: 'M4 7H296', 'vector-effect': 'non-scaling-stroke' }),
    done > 0 ? svg('path', { class: 'paint-done', d: `M4 7H${end.toFixed(1)}`, 'vector-effect': 'non-scaling-stroke' }) : '');
}
