// The page of a hole being made: a click on its plan adds a turning point, and the plan shows the line that is typed.

const SVG = 'http://www.w3.org/2000/svg';
const PAIR = /^\s*([+-]?\d+(?:\.\d+)?)\s*[,;\s]\s*([+-]?\d+(?:\.\d+)?)\s*$/;

const sheet = document.querySelector('.of-clicks');
const typed = document.getElementById('turns');
const chosen = document.getElementById('turns-by');
const words = document.getElementById('plan-words');

const numbers = (text) => text.trim().split(/[\s,]+/).map(Number);
const pairs = (text) => text.trim().split(/\s+/).filter(Boolean).map(numbers);

const [centreX, centreY] = numbers(sheet.dataset.centre);
const pxPerM = Number(sheet.dataset.pxPerM);
const unitM = Number(sheet.dataset.metresPerUnit);
const { width, height } = sheet.viewBox.baseVal;

/** From a place of the drawing to the site's coordinates, as they are typed: to a tenth of a metre or foot. */
function typedAt({ x, y }) {
  const course = [centreX + (x - width / 2) / pxPerM, centreY - (y - height / 2) / pxPerM];
  return course.map((metres) => (metres / unitM).toFixed(1)).join(', ');
}

/** From coordinates as they are typed to a place of the drawing. */
const placeOf = (x, y) => [width / 2 + (x * unitM - centreX) * pxPerM, height / 2 - (y * unitM - centreY) * pxPerM];

function add(event) {
  if (chosen.value !== 'course') {
    words.textContent = 'Choose "x, y on the course grid" for the turning points above, then click.';
    chosen.focus();
    return;
  }
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(sheet.getScreenCTM().inverse());
  typed.value = `${typed.value.replace(/\s+$/, '')}\n${typedAt(at)}`.trimStart();
  typed.dispatchEvent(new Event('input', { bubbles: true }));
}

/** The turning points that are typed and can be read, as places of the drawing. */
function turns() {
  if (chosen.value !== 'course') return [];
  return typed.value.split('\n').map((line) => PAIR.exec(line)).filter(Boolean).map(([, x, y]) => placeOf(Number(x), Number(y)));
}

function element(name, attributes, text = '') {
  const node = document.createElementNS(SVG, name);
  Object.entries(attributes).forEach(([key, value]) => node.setAttribute(key, value));
  node.textContent = text;
  return node;
}

function show() {
  const between = turns();
  const [tee] = pairs(sheet.dataset.tees);
  const line = [tee, ...between, ...pairs(sheet.dataset.green)].filter(Boolean);
  const marks = between.flatMap(([x, y], at) => [
    element('circle', { cx: x.toFixed(1), cy: y.toFixed(1), r: 5 }),
    element('text', { x: (x + 9).toFixed(1), y: (y + 4.5).toFixed(1) }, String(at + 1)),
  ]);
  const path = line.map(([x, y], at) => `${at === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');
  document.getElementById('clicked').replaceChildren(element('path', { d: path || 'M0 0' }), ...marks);
}

sheet.addEventListener('click', add);
typed.addEventListener('input', show);
chosen.addEventListener('change', show);
show();
