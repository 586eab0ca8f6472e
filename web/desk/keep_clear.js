// The page of the things to keep clear of: points clicked on the plan go into the field, and the field is drawn.

import { placeOn } from './on_sheet.js';

const SVG = 'http://www.w3.org/2000/svg';
const BY_COORDINATES = 'xy';
const [plan, form] = ['plan', 'thing-form'].map((id) => document.getElementById(id));
const { points, extent, way } = form.elements;
const [drawn, told, off, how] = ['drawn-now', 'drawn-told', 'last-off', 'click-how'].map((id) => document.getElementById(id));
const [a, b, c, d, e, f] = plan.dataset.toCourse.split(' ').map(Number);

const lines = () => points.value.split('\n').map((line) => line.trim()).filter(Boolean);

/** The points typed as coordinates, as places on the plan; lines that cannot be read are left out. */
function places() {
  if (way.value !== BY_COORDINATES) return [];
  const pairs = lines().map((line) => line.split(/[\s,;]+/).map(Number));
  const size = a * e - b * d;
  return pairs
    .filter((pair) => pair.length === 2 && pair.every(Number.isFinite))
    .map(([x, y]) => ({ x: (e * (x - c) - b * (y - f)) / size, y: (a * (y - f) - d * (x - c)) / size }));
}

function shape(name, className, attributes) {
  const node = document.createElementNS(SVG, name);
  node.setAttribute('class', className);
  Object.entries(attributes).forEach(([key, value]) => node.setAttribute(key, value));
  return node;
}

function show() {
  const at = places();
  const path = at.map(({ x, y }, index) => `${index ? 'L' : 'M'}${x.toFixed(2)} ${y.toFixed(2)}`).join('');
  const line = at.length > 1 ? [shape('path', 'drawn-line', { d: path + (extent.value === 'area' ? 'Z' : '') })] : [];
  drawn.replaceChildren(...line, ...at.map(({ x, y }) => shape('circle', 'drawn-spot', { cx: x.toFixed(2), cy: y.toFixed(2), r: 4 })));
  off.disabled = lines().length === 0;
}

function say() {
  const count = lines().length;
  told.textContent = count === 1 ? '1 point' : `${count} points`;
}

function click(event) {
  if (way.value !== BY_COORDINATES && lines().length > 0) {
    told.textContent = 'The points are typed from a tee. Empty them, or have them given as x, y, to click on the plan.';
    return;
  }
  way.value = BY_COORDINATES;
  const { x, y } = placeOn(plan, event);
  const typed = `${(a * x + b * y + c).toFixed(2)}, ${(d * x + e * y + f).toFixed(2)}`;
  points.value = (extent.value === 'point' ? [typed] : [...lines(), typed]).join('\n');
  show();
  say();
}

off.hidden = false;
how.hidden = false;
plan.classList.add('clickable');
plan.addEventListener('click', click);
off.addEventListener('click', () => {
  points.value = lines().slice(0, -1).join('\n');
  show();
  say();
});
form.addEventListener('input', show);
show();
