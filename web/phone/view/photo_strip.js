// Photos of a peg, drawn, since a page here loads no picture from memory: tapped, one is as wide as the page.

import { el, keepChildren, setAttribute, setText } from './element.js';

/** The strip: {node, show([{id, picture: bitmap or null, words}])}; with `onRemove(id)` each can be left out again. */
export function createPhotoStrip({ label, onRemove = null }) {
  const node = el('div', { class: 'photos', role: 'group', 'aria-label': label });
  const drawn = new WeakMap();
  let shown = [];
  const make = (i) => el('figure', { class: 'photo' },
    el('button', { class: 'photo-look', type: 'button', 'aria-pressed': 'false', onclick: (event) => enlarge(event.currentTarget) }, el('canvas', { width: 4, height: 3 }), el('span', {})),
    ...(onRemove === null ? [] : [el('button', { class: 'tool', type: 'button', onclick: () => onRemove(shown[i].id) }, 'Leave out')]));
  const show = (photos) => {
    shown = photos;
    node.hidden = photos.length === 0;
    keepChildren(node, photos.length, make).forEach((figure, i) => showPhoto(figure, photos[i], drawn));
  };
  return { node, show };
}

function enlarge(button) {
  const isLarge = button.parentNode.classList.toggle('is-large');
  setAttribute(button, 'aria-pressed', isLarge);
}

function showPhoto(figure, { picture, words }, drawn) {
  const [canvas, label] = figure.firstChild.children;
  canvas.hidden = picture === null;
  setText(label, words);
  setAttribute(figure.firstChild, 'aria-label', `${words}, larger or smaller`);
  if (picture === null || drawn.get(canvas) === picture) return;
  drawn.set(canvas, picture);
  [canvas.width, canvas.height] = [picture.width, picture.height];
  canvas.getContext('2d').drawImage(picture, 0, 0);
}
