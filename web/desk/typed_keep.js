// A form that keeps what is typed on this computer until it is saved, so that a closed tab loses nothing.

import { saveWhereAnswered } from './saving.js';

const form = document.querySelector('form[data-keep]');
const key = `typed ${location.pathname}`;

const filled = () => JSON.stringify([...new FormData(form)].filter(([name, value]) => name !== 'number' && typeof value === 'string'));

function store(text) {
  try {
    if (text === null) localStorage.removeItem(key);
    else localStorage.setItem(key, text);
  } catch { /* a browser that keeps nothing: the form works without it */ }
}

function stored() {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

function put(typed) {
  const values = new Map(typed);
  for (const field of form.elements) {
    if (!field.name || field.type === 'hidden' || field.type === 'file') continue;
    if (field.type === 'checkbox') field.checked = values.has(field.name);
    else if (field.type === 'radio') field.checked = values.get(field.name) === field.value;
    else if (values.has(field.name)) field.value = values.get(field.name);
    field.dispatchEvent(new Event('input', { bubbles: true }));
  }
}

/** Which rows the form has: what was typed into others is not put into these. */
const rowsOf = () => [...form.querySelectorAll('input[type=hidden][name$="-was"]')].map(({ value }) => value).join(' ');

/** Say that what was typed is back, or what it was where it fits no more, with a way to be rid of it. */
function tell(kept, fits) {
  const box = document.createElement('div');
  box.className = 'notice typed-back';
  box.setAttribute('role', 'status');
  const words = document.createElement('p');
  words.textContent = fits ? backWords(kept) : `What you typed here before fits no more, since rows have come or gone. It was: ${listed(kept.typed)}`;
  const drop = document.createElement('button');
  drop.type = 'button';
  drop.className = 'button quiet';
  drop.textContent = 'Put it away';
  drop.addEventListener('click', () => { store(null); form.reset(); location.reload(); });
  box.append(words, drop);
  form.before(box);
}

const backWords = ({ number }) => (number === form.dataset.keep
  ? 'What you typed here before is back in the fields. It is not saved yet.'
  : 'What you typed here before is back in the fields, not saved yet. The site was saved meanwhile, perhaps by somebody else.');

const listed = (typed) => typed.filter(([name, value]) => value !== '' && !name.endsWith('-was')).map(([name, value]) => `${name}: ${value}`).join('; ');

const isSaved = new URLSearchParams(location.search).has('saved');
const isRefused = 'refused' in form.dataset;
const asServed = filled();
const kept = isSaved || isRefused ? null : stored();
const save = () => store(JSON.stringify({ number: form.dataset.keep, rows: rowsOf(), typed: JSON.parse(filled()) }));

if (kept && JSON.stringify(kept.typed) !== asServed) {
  const fits = kept.rows === rowsOf();
  if (fits) put(kept.typed);
  tell(kept, fits);
} else if (isRefused) {
  save();
} else {
  store(null);
}

form.addEventListener('input', () => (filled() === asServed && !isRefused ? store(null) : save()));
saveWhereAnswered(form, () => { if (form.dataset.keep === '') store(null); });
