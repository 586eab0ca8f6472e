// The page of pictures to draw over: sends one with its world file, lays one by places clicked in it, takes one off.

import { send, takeDropped } from './sending.js';

const WORLD = /\.(wld|jgw|jpgw|jpegw|pgw|pngw|tfw|tifw)$/i;
const SVG = 'http://www.w3.org/2000/svg';
const byId = (id) => document.getElementById(id);
const sending = byId('sending');
const words = byId('sending-words');
const bar = byId('sending-bar');
const places = byId('places');

async function sendPicture(files) {
  const picture = files.find((file) => !WORLD.test(file.name));
  const world = files.find((file) => WORLD.test(file.name));
  if (!picture) {
    words.textContent = 'No picture is chosen: choose a JPEG, a PNG or a GeoTIFF.';
    byId('file').focus();
    return;
  }
  const system = byId('system').value === 'published' ? byId('code').value.trim() || 'published' : byId('system').value;
  const query = new URLSearchParams({ name: picture.name.slice(-200), unit: byId('unit').value });
  if (world) {
    query.set('world', (await world.text()).slice(0, 2000));
    query.set('system', system);
  }
  bar.hidden = false;
  words.textContent = `Sending ${picture.name}…`;
  try {
    const answer = await send(`${sending.dataset.api}?${query}`, picture, (share) => {
      bar.value = share * 100;
      if (share === 1) words.textContent = `${picture.name} is sent and is being drawn anew…`;
    });
    location.assign(answer.state === 'waiting' ? `${sending.dataset.page}?of=${answer.id}` : sending.dataset.page);
  } catch (fault) {
    words.textContent = fault.message;
    bar.hidden = true;
  }
}

const rows = () => [...places.querySelectorAll('.place-row')].map(({ dataset: { row } }) => ({
  row, column: byId(`column-${row}`), down: byId(`row-${row}`), mark: byId(`mark-${row}`),
}));

function number(field) {
  return field.value.trim() === '' ? NaN : Number(field.value.trim().replace(',', '.'));
}

function drawClicked() {
  const width = byId('picture').viewBox.baseVal.width;
  byId('clicked').replaceChildren(...rows().filter(({ column, down }) => !Number.isNaN(number(column) + number(down))).flatMap(({ column, down }) =>
    ['halo', 'ring'].map((kind) => {
      const circle = document.createElementNS(SVG, 'circle');
      circle.setAttribute('class', kind);
      circle.setAttribute('cx', number(column) + 0.5);
      circle.setAttribute('cy', number(down) + 0.5);
      circle.setAttribute('r', width / 60);
      return circle;
    })));
}

function click(event) {
  const svg = byId('picture');
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const free = rows().find(({ column, down }) => column.value === '' && down.value === '') ?? rows().at(-1);
  free.column.value = (at.x - 0.5).toFixed(1);
  free.down.value = (at.y - 0.5).toFixed(1);
  drawClicked();
  free.mark.focus();
}

/** What a row still lacks, in words; "" where it is whole or empty. */
function lackOf({ row, column, down, mark }) {
  const isPlaced = !Number.isNaN(number(column) + number(down));
  const which = mark.selectedOptions[0].textContent;
  if (mark.value !== '' && !isPlaced) return `Place ${row}: click ${which} in the picture, or type its column and row.`;
  return mark.value === '' && isPlaced ? `Place ${row}: say which peg or tee plate it is.` : '';
}

async function fit(keep) {
  const lack = rows().map(lackOf).find((told) => told !== '');
  if (lack) {
    byId('fit-words').textContent = lack;
    return;
  }
  const told = rows().filter(({ mark }) => mark.value !== '').map(({ column, down, mark }) => ({
    column: number(column), row: number(down), mark: mark.value,
  }));
  const answer = await fetch(places.dataset.fit, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ places: told, keep }),
  }).catch(() => null);
  const said = answer ? await answer.json() : { detail: 'There is no connection to the server; try again.' };
  if (answer?.ok && keep) location.assign(places.dataset.page);
  else byId('fit-words').textContent = answer?.ok ? said.told.join(' ') : said.detail;
}

sending.addEventListener('submit', (event) => {
  event.preventDefault();
  sendPicture([...byId('file').files]);
});
takeDropped(sending.querySelector('.drop'), (files) => {
  byId('file').files = files;
  sendPicture([...files]);
});
if (places) {
  byId('picture').addEventListener('click', click);
  places.addEventListener('change', drawClicked);
  places.addEventListener('submit', (event) => {
    event.preventDefault();
    fit(event.submitter?.value === 'keep');
  });
}
document.addEventListener('click', async (event) => {
  const address = event.target.closest('[data-off]')?.dataset.off;
  if (!address) return;
  const answer = await fetch(address, { method: 'POST' }).catch(() => null);
  if (answer?.ok) location.reload();
  else words.textContent = answer ? (await answer.json()).detail : 'There is no connection to the server; try again.';
});
