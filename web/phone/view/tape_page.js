// The page of pegs and tape: notices and a head above, one screen, a way back and the place below.

import { el, setText } from './element.js';
import { createNotices } from './notices.js';
import { createPegSheet } from './peg_sheet.js';
import { createPracticeBand } from './practice_band.js';

/** Build it into `root`; `on` holds act, walk, back, place, trial and checkIn. {notices, head, place, practice, pegSheets, openScreen}. */
export function createTapePage(root, on) {
  const notices = createNotices({ onAct: on.act });
  const practice = createPracticeBand({ onWalk: on.walk, onShow: (shown) => root.classList.toggle('is-practice', shown) });
  const [title, where, send] = [el('h1', { tabindex: '-1' }), el('p', {}), el('p', { class: 'tape-send', role: 'status' })];
  const [label, note] = [el('strong', {}), el('span', {})];
  const back = el('button', { type: 'button', onclick: on.back }, 'Back');
  const place = el('button', { class: 'tape-place', type: 'button', onclick: on.place }, label, note);
  const body = el('div', { class: 'tape-body' });
  const pegSheets = {
    trial: createPegSheet({ title: 'Receiver trial', back: 'Back', on: on.trial }),
    'check-in': createPegSheet({ title: 'Check in on a peg', back: 'Back', on: on.checkIn }),
  };
  root.replaceChildren(
    el('div', { class: 'tape-work' }, notices.node,
      el('header', { class: 'tape-head' }, el('div', {}, title, where), send), practice.node, body,
      el('nav', { class: 'tape-foot', 'aria-label': 'This page' }, back, place)),
    notices.sheet.node, ...Object.values(pegSheets).map(({ node }) => node));
  return {
    notices, practice, pegSheets, body,
    hold: { show: () => {} },
    head: { show: (head) => { setText(title, head.title); setText(where, head.place); setText(send, head.send); } },
    place: { show: (words) => { setText(label, words.label); setText(note, words.note); } },
    /** Put a screen in place of the last one; the first has no way back. */
    openScreen: (node, isFirst) => {
      body.replaceChildren(node);
      body.scrollTop = 0;
      back.hidden = isFirst;
      title.focus({ preventScroll: true });
    },
  };
}
