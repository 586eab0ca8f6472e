// The page that brings a drawing in: sends the file, waits while it is read, shows what each answer comes to.

import { send, takeDropped } from './sending.js';

const PART = 'import';
const ASK_EVERY_MS = 700;
const SETTLED_MS = 400;
const MILLION = 1e6;
const sending = document.getElementById('sending');
const field = document.getElementById('file');
const words = document.getElementById('sending-words');
const bar = document.getElementById('sending-bar');
let asked = 0;
let settling = 0;

const form = () => document.getElementById('import-form');
const answers = () => form() && `${form().action}?${new URLSearchParams(new FormData(form()))}`;

async function sendFile(file) {
  if (!file) {
    words.textContent = 'No file is chosen: choose the drawing first.';
    field.focus();
    return;
  }
  if (file.size > Number(sending.dataset.most) * MILLION) {
    words.textContent = `${file.name} has ${Math.ceil(file.size / MILLION)} MB, and at most ${sending.dataset.most} MB are taken: keep only the layers and the hole that are needed.`;
    return;
  }
  bar.hidden = false;
  words.textContent = `Sending ${file.name}…`;
  try {
    const name = encodeURIComponent(file.name.slice(-200));
    const { id } = await send(`${sending.dataset.api}?name=${name}`, file, (share) => { bar.value = share * 100; });
    words.textContent = `${file.name} is sent and is being read…`;
    await isRead(id, file.name);
    const query = new URLSearchParams({ hole: sending.dataset.hole, of: id });
    await show(`${sending.dataset.page}?${query}`, true);
    words.textContent = '';
    document.querySelector('#import h2, #import .notice')?.scrollIntoView({ block: 'start' });
    document.getElementById('system')?.focus();
  } catch (fault) {
    words.textContent = fault.message;
  }
  bar.hidden = true;
}

/** Ask until the file is read or refused, and tell how long that takes. */
async function isRead(id, name) {
  for (;;) {
    const answer = await fetch(`${sending.dataset.api}/${id}`).catch(() => null);
    const state = answer?.ok ? await answer.json() : null;
    if (answer && !state) throw new Error((await answer.json()).detail);
    if (state && state.state !== 'reading' && state.state !== 'sending') return;
    if (state) words.textContent = `${name} is sent and is being read, since ${Math.round(state.seconds)} s…`;
    await new Promise((resolve) => { setTimeout(resolve, ASK_EVERY_MS); });
  }
}

/** Put what the server says in the place of what is shown; a newer question outruns an older, typing goes on. */
async function show(address, isAnother = false) {
  asked += 1;
  const mine = asked;
  const given = answers();
  const answer = await fetch(address).catch(() => null);
  if (mine !== asked) return;
  const page = answer && new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById(PART);
  if (!page) {
    form()?.requestSubmit();
    return;
  }
  if (!isAnother && answers() !== given) {
    await show(answers());
    return;
  }
  const { id: focused, selectionStart: start, selectionEnd: end } = document.activeElement;
  const open = [...document.querySelectorAll('#import details[open]')].map((one) => one.closest('li')?.querySelector('select')?.id);
  document.getElementById(PART).replaceWith(page);
  for (const id of open) document.getElementById(id)?.closest('li').querySelector('details')?.setAttribute('open', '');
  history.replaceState(null, '', address);
  const again = focused ? document.getElementById(focused) : null;
  again?.focus();
  if (again && typeof start === 'number') again.setSelectionRange(start, end);
}

sending.addEventListener('submit', (event) => {
  event.preventDefault();
  sendFile(field.files[0]);
});
takeDropped(sending.querySelector('.drop'), (files) => {
  field.files = files;
  sendFile(files[0]);
});
document.addEventListener('change', (event) => {
  const own = event.target.form;
  if (own === form() && own && !['bunker-name', 'bunker-id', 'person'].includes(event.target.id)) {
    clearTimeout(settling);
    settling = setTimeout(() => show(answers()), SETTLED_MS);
  }
});
