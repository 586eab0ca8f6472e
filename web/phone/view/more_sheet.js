// Everything else: which way up, which receiver, who paints, records, notes of the site, cautions.

import { createAidSwitches } from './aid_switches.js';
import { el, setText } from './element.js';
import { createSegments, createSheet } from './sheet.js';
import { cautionList } from './start_panel.js';

const UPS = [['play', 'Play up'], ['walk', 'Walk up'], ['north', 'North up']];
const RECEIVERS = [['phone', 'This phone'], ['practice phone', 'Practise, 4 m'], ['practice centimetre', 'Practise, 1 cm']];

/** The sheet: {node, open, close, isOpen, show(model)}. */
export function createMoreSheet({ siteUrl, fieldUrl, pegsUrl, onUp, onReceiver, onPerson, onSend, onHandOver, onYardage, onCheck, onOutlines, onDetails, onTrial, onCheckIn, onAid }) {
  const ups = createSegments({ label: 'Which way is up', onChoose: onUp });
  const receivers = createSegments({ label: 'Receiver', onChoose: onReceiver });
  const aids = createAidSwitches({ onAid });
  const name = el('input', { class: 'name', id: 'painter', type: 'text', autocomplete: 'name', maxlength: '60', onchange: () => onPerson(name.value.trim()) });
  const [records, kept, notes, north] = [el('p'), el('div'), el('div', { class: 'small' }), el('p', { class: 'small' })];
  const leave = (go) => () => { sheet.close(); go(); };
  const tool = (text, onclick) => el('button', { class: 'tool', type: 'button', onclick }, text);
  const sheet = createSheet({ title: 'More' },
    el('div', { class: 'tools' }, tool('Yardage', leave(onYardage)), tool('Check an edge', leave(onCheck)), tool('Outlines', leave(onOutlines)), tool('Position', leave(onDetails))),
    el('h3', {}, 'Which way is up'), ups.node,
    el('h3', {}, 'Receiver'), receivers.node,
    el('div', { class: 'tools' }, tool('Check in on a peg', leave(onCheckIn)), tool('Receiver trial', leave(onTrial))),
    el('h3', {}, 'Hands, ears and eyes'), aids.node,
    el('h3', {}, 'Records'), records, el('div', { class: 'tools' }, tool('Send now', onSend), tool('Hand over as a file', leave(onHandOver))),
    el('div', { class: 'field' }, el('label', { for: 'painter' }, 'Your name, for the record'), name),
    el('h3', {}, 'Pegs'), el('a', { href: pegsUrl }, 'Pegs and tape of this bunker'),
    el('h3', {}, 'Kept on this phone'), kept, el('a', { href: fieldUrl }, 'All bunkers, and get ready for the field'),
    el('h3', {}, 'About this ground'), notes, north,
    el('h3', {}, 'Mind'), cautionList(),
    el('p', {}, el('a', { href: siteUrl }, 'Plan of the site and what is painted (needs signal)')));
  const show = (model) => {
    ups.show(UPS, model.up);
    receivers.show(RECEIVERS, model.receiver);
    aids.show(model.aids);
    if (document.activeElement !== name) name.value = model.person;
    setText(records, model.records);
    kept.replaceChildren(...model.kept.map((words) => el('p', {}, words)));
    notes.replaceChildren(...model.notes.map((words) => el('p', {}, words)));
    setText(north, model.north);
  };
  return { ...sheet, show };
}
