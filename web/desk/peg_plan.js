// The page of a peg plan: a peg dragged on the drawing moves in its fields, and the server says what that comes to.

import { placeOn } from './on_sheet.js';

const PLAN = 'plan';
let held = null;
let asked = 0;

const form = () => document.getElementById('plan-form');
const fieldsOf = (row) => ['along', 'offset'].map((name) => document.getElementById(`${name}-${row}`));

/** Along and aside of the bunker's middle at a place of the drawing, to a tenth. */
function measured(svg, { x, y }) {
  const [middleX, middleY] = svg.dataset.middle.split(' ').map(Number);
  const perUnit = Number(svg.dataset.pxPerUnit);
  return [(middleY - y) / perUnit, (x - middleX) / perUnit].map((length) => (Math.round(length * 10) / 10 + 0).toFixed(1));
}

function take(event) {
  const peg = event.target.closest?.('.peg[data-row]');
  if (!peg || event.button !== 0) return;
  const svg = peg.closest('svg');
  if (!svg?.dataset.middle) return;
  event.preventDefault();
  held = { peg, svg, pointer: event.pointerId };
  peg.setPointerCapture(event.pointerId);
  peg.classList.add('held');
}

function move(event) {
  if (held?.pointer !== event.pointerId) return;
  const place = placeOn(held.svg, event);
  held.peg.setAttribute('transform', `translate(${place.x.toFixed(2)} ${place.y.toFixed(2)})`);
  fieldsOf(held.peg.dataset.row).forEach((field, at) => { field.value = measured(held.svg, place)[at]; });
  held.moved = true;
}

function drop(event) {
  if (held?.pointer !== event.pointerId) return;
  const { peg, moved } = held;
  held = null;
  peg.classList.remove('held');
  if (moved) show();
}

/** Ask what the fields come to, and put the answer in the place of what is shown; a newer question outruns an older. */
async function show() {
  asked += 1;
  const mine = asked;
  const address = `${form().action}?${new URLSearchParams(new FormData(form()))}`;
  const answer = await fetch(address).catch(() => null);
  if (mine !== asked || held) return;
  const page = answer && new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById(PLAN);
  if (!page) {
    form().requestSubmit();
    return;
  }
  const focused = document.activeElement?.id;
  document.getElementById(PLAN).replaceWith(page);
  history.replaceState(null, '', address);
  if (focused) document.getElementById(focused)?.focus();
}

document.addEventListener('pointerdown', take);
document.addEventListener('pointermove', move);
document.addEventListener('pointerup', drop);
document.addEventListener('pointercancel', drop);
document.addEventListener('change', (event) => {
  if (event.target.closest('.peg-row')) show();
});
