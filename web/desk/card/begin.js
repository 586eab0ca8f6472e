// 'Begin a new bunker': a name, and a shape with its size, or points that are pressed out.

import { addOutline } from '../draft/edits.js';
import { startPoints } from '../draft/shapes.js';
import { firstFault, nameFault, shown, typedLength } from './typed.js';

const ID = /^[a-z0-9][a-z0-9-]{0,47}$/;
const TAKEN = 'is a bunker already; give this one another short name.';

/** Why a short name cannot be a new bunker's, or null. */
export function idFault(board, id) {
  if (id === '') return 'Type a short name: small letters, figures and hyphens, such as 4-left.';
  if (!ID.test(id)) return `'${shown(id)}' is no short name: small letters, figures and hyphens, such as 4-left.`;
  const isTaken = board.bunkers.some((bunker) => bunker.id === id) || board.taken.includes(id);
  return isTaken ? `'${id}' ${TAKEN}` : null;
}

/** A draft that nobody has drawn yet. */
function emptyDraft(board, id, name) {
  return {
    format: 'fieldapp-draft', version: 1, bunker: { id, hole: board.hole.number, name, note: '', floor_level_m: null },
    from: { revision: null, site_version: null }, outlines: [], plan: null,
  };
}

/** `begun(doc)` is given the new draft; `where()` tells {centre, bearingDeg} of a shape. */
export function createBegin(board, node, { begun, where }) {
  const [form, name, id, shape, length, width, waist, fault] = ['begin-form', 'begin-name', 'begin-id', 'begin-shape', 'begin-length', 'begin-width', 'begin-waist', 'begin-fault'].map(node);
  let isIdTyped = id.value !== '';

  id.addEventListener('input', () => { isIdTyped = id.value !== ''; });
  const suggest = () => { if (!isIdTyped) id.value = name.value.trim().toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '').slice(0, 48); };
  name.addEventListener('input', suggest);
  if (id.value === '') suggest();
  const show = () => {
    length.parentElement.hidden = shape.value === 'points';
    width.parentElement.hidden = ['points', 'round'].includes(shape.value);
    waist.parentElement.hidden = shape.value !== 'kidney';
  };
  shape.addEventListener('change', show);
  show();
  form.querySelector('[type=submit]').disabled = false;

  form.addEventListener('submit', (event) => {
    event.preventDefault();
    const asked = shape.value === 'points' ? {} : sizes(shape.value);
    const wrong = nameFault(name.value) ?? idFault(board, id.value) ?? asked.fault ?? null;
    fault.textContent = wrong ?? '';
    if (wrong !== null) return;
    try {
      begun(drawn(asked));
    } catch (refused) {
      if (!(refused instanceof RangeError)) throw refused;
      fault.textContent = refused.message;
    }
  });

  const sizes = (kind) => {
    const long = typedLength(length.value, board.units.ground, kind === 'round' ? 'how wide it is' : 'its length');
    const wide = kind === 'round' ? long : typedLength(width.value, board.units.ground, 'its width');
    const pressed = kind === 'kidney' ? typedLength(waist.value, board.units.ground, 'how far its waist is pressed in') : { lengthM: 0 };
    const wrong = firstFault(long, wide, pressed);
    return wrong ? { fault: wrong } : { length_m: long.lengthM, width_m: wide.lengthM, waist_m: pressed.lengthM };
  };

  const drawn = (asked) => {
    const doc = emptyDraft(board, id.value, name.value.trim());
    if (shape.value === 'points') return doc;
    const { centre, bearingDeg } = where();
    const points = startPoints(shape.value, asked, centre, bearingDeg, board.ground_scale);
    return addOutline(doc, { part: 'sand edge', curve: 'smooth', closed: true, points });
  };
}
