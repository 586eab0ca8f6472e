// The points of the outline in hand: what is chosen, what can be done with it, and every place in figures.

import { setPoint, setRole, smoothen, straighten } from '../draft/edits.js';
import { el, keepChildren, setText } from '../../phone/view/element.js';
import { putInAfter, takeOut } from '../keys.js';
import { typedNumber } from './typed.js';

const MOST_M = 1e8;

/** {draw(state)}; the list is filled only while it is open. */
export function createPoints(bench, node) {
  const [list, rows, words, fault, role] = ['points', 'point-rows', 'chosen-words', 'shape-fault', 'role'].map(node);
  const shown = { points: null, chosen: null };
  const chosen = () => bench.state().chosen;
  const id = () => bench.state().outlineId;
  const say = (wrong) => { fault.textContent = wrong ?? ''; };
  const needsOne = () => (chosen().length > 0 ? null : 'Choose a point first.');

  const act = (wrong, change) => {
    say(wrong);
    if (wrong === null) change();
  };
  const stretch = (edit, said) => act(chosen().length > 1 ? null : 'Choose where the stretch begins, then where it ends.', () => {
    const [from, to] = [chosen()[0], chosen().at(-1)];
    bench.edit((doc) => edit(doc, id(), from, to), said);
  });
  node('add-after').addEventListener('click', () => act(needsOne(), () => putInAfter(bench)));
  node('take-out').addEventListener('click', () => act(needsOne(), () => takeOut(bench)));
  node('straighten').addEventListener('click', () => stretch(straighten, 'lay a stretch straight'));
  node('smoothen').addEventListener('click', () => stretch(smoothen, 'smooth a stretch'));
  role.addEventListener('change', () => act(needsOne(), () => bench.edit((doc) => chosen().reduce((now, at) => setRole(now, id(), at, role.value), doc), `make it ${role.selectedOptions[0].text}`)));

  rows.addEventListener('change', ({ target }) => {
    const at = Number(target.closest('tr').dataset.at);
    if (target.type === 'checkbox') return bench.choose([at], true);
    const [x, y] = [...target.closest('tr').querySelectorAll('[data-axis]')].map((field) => typedNumber(field.value, field.dataset.axis, -MOST_M, MOST_M));
    say(x.fault ?? y.fault);
    if (x.fault || y.fault) return undefined;
    return bench.edit((doc) => setPoint(doc, id(), at, x.number, y.number), `set point ${at + 1}`);
  });
  list.addEventListener('toggle', () => draw(bench.state()));

  const draw = ({ doc, outlineId }) => {
    const points = doc.outlines.find((one) => one.id === outlineId)?.points ?? [];
    const now = chosen();
    if (now !== shown.chosen || points.length !== shown.points?.length) setText(words, chosenWords(now, points.length));
    const one = points[now.at(-1)]?.[2] ?? 'plain';
    if (now.length && role.value !== one) role.value = one;
    if (list.open) drawRows(points, now);
    else shown.points = null;
    shown.chosen = now;
  };

  const drawRows = (points, now) => {
    if (shown.points === points && shown.chosen === now) return;
    const picked = new Set(now);
    keepChildren(rows, points.length, rowOf).forEach((row, at) => {
      if (row.tick.checked !== picked.has(at)) row.tick.checked = picked.has(at);
      if (shown.points?.[at] === points[at]) return;
      row.fields.forEach((field, axis) => { field.value = points[at][axis].toFixed(4); });
    });
    shown.points = points;
  };

  return { draw };
}

function chosenWords(chosen, count) {
  if (chosen.length === 0) return 'No point is chosen: press one on the sheet, or choose it in the list.';
  if (chosen.length === 1) return `Point ${chosen[0] + 1} of ${count} is chosen.`;
  return `${chosen.length} of ${count} points are chosen, from ${chosen[0] + 1} to ${chosen.at(-1) + 1}.`;
}

function rowOf(at) {
  const number = at + 1;
  const tick = el('input', { type: 'checkbox', id: `point-${number}` });
  const fields = ['x', 'y'].map((axis) => el('input', { 'data-axis': axis, inputmode: 'decimal', autocomplete: 'off', 'aria-label': `${axis} of point ${number}` }));
  const row = el('tr', { 'data-at': at }, el('th', { scope: 'row' }, el('label', { class: 'tick' }, tick, ` ${number}`)), ...fields.map((field) => el('td', {}, field)));
  return Object.assign(row, { tick, fields });
}
