// 'Shape it': the whole bunker turned, scaled, mirrored; the outline in hand, its height and what it is; the bunker's name.

import { removeOutline, setFacts, setHeights, setPart } from '../draft/edits.js';
import { mirrorBunker, scaleBunker, turnBunker } from '../draft/whole.js';
import { setAttribute, keepChildren, el, setText } from '../../phone/view/element.js';
import { fieldText, firstFault, lengthWithin, nameFault, typedLength, typedNumber } from './typed.js';

const [LEAST_PERCENT, MOST_PERCENT] = [5, 1000];
/** From where to where a height may lie, metres. */
const HEIGHTS = { level_m: [-500, 9000], above_ground_m: [-60, 60] };

/** {draw(state)}. */
export function createShape(board, bench, node) {
  const { ground } = board.units;
  const fault = node('shape-fault');
  const [outline, part, kind, height, name, note, floor] = ['outline', 'part', 'height-kind', 'height', 'name', 'note', 'floor'].map(node);
  const figures = () => bench.state().figures;
  const undrawn = () => (figures().middle ? null : 'No line can be put through its points as they are; mend its points first.');
  const shown = { outline: null, bunker: null };

  /** What is wrong is said in the part of the card that is used. */
  const sayIn = ({ target }) => {
    const inUse = target.closest('.card-part');
    if (inUse === null || inUse === fault.parentElement) return;
    fault.textContent = '';
    inUse.append(fault);
  };
  ['click', 'change'].forEach((kind) => node('card-of-bunker').addEventListener(kind, sayIn, { capture: true }));

  /** Do what an edit's typed figures ask for, or say what is wrong with them. */
  const attempt = (wrong, act) => {
    fault.textContent = wrong ?? '';
    if (wrong === null) act();
  };

  node('card-of-bunker').addEventListener('click', ({ target }) => {
    const way = Number(target.dataset.turn);
    if (!way) return;
    const typed = typedNumber(node('turn-by').value, 'The turn', -360, 360);
    attempt(undrawn() ?? firstFault(typed), () => bench.edit((doc) => turnBunker(doc, way * typed.number, figures().middle), `turn by ${typed.number}°`));
  });
  node('scale').addEventListener('click', () => {
    const [along, across] = ['scale-along', 'scale-across'].map((id, at) => typedNumber(node(id).value, ['The length', 'The width'][at], LEAST_PERCENT, MOST_PERCENT));
    attempt(undrawn() ?? firstFault(along, across), () => bench.edit((doc) => scaleBunker(doc, along.number / 100, across.number / 100, figures().middle, figures().long_axis_bearing_deg), 'scale the bunker'));
  });
  node('mirror').addEventListener('click', () => attempt(undrawn(), () => bench.edit((doc) => mirrorBunker(doc, figures().middle, figures().play_bearing_deg), 'mirror the bunker')));

  outline.addEventListener('change', () => bench.hand(outline.value));
  part.addEventListener('change', () => bench.edit((doc) => setPart(doc, bench.state().outlineId, part.value), `make it the ${part.value}`));
  node('remove-outline').addEventListener('click', () => {
    const { outlineId, doc } = bench.state();
    attempt(doc.outlines.length > 1 ? null : 'This is its only outline; draw another one first.', () => bench.edit((now) => removeOutline(now, outlineId), `take out the ${outlineId}`));
  });
  node('set-height').addEventListener('click', () => {
    const typed = kind.value === '' ? {} : lengthWithin(typedLength(height.value, ground, 'the height'), 'The height', ground, ...HEIGHTS[kind.value]);
    attempt(firstFault(typed), () => bench.edit((doc) => setHeights(doc, bench.state().outlineId, kind.value === '' ? {} : { [kind.value]: typed.lengthM }), 'set the height'));
  });
  node('set-facts').addEventListener('click', () => {
    const level = floor.value.trim() === '' ? { lengthM: null } : lengthWithin(typedLength(floor.value, ground, 'the level of the floor'), 'The level of the floor', ground, ...HEIGHTS.level_m);
    const wrong = nameFault(name.value) ?? firstFault(level);
    attempt(wrong, () => bench.edit((doc) => setFacts(doc, { name: name.value.trim(), note: note.value.trim(), floor_level_m: level.lengthM }), 'set name, note and floor'));
  });

  const draw = ({ doc, outlineId }) => {
    keepChildren(outline, doc.outlines.length, () => el('option')).forEach((option, at) => {
      setAttribute(option, 'value', doc.outlines[at].id);
      setText(option, doc.outlines[at].id);
    });
    const inHand = doc.outlines.find(({ id }) => id === outlineId) ?? null;
    if (outline.value !== outlineId) outline.value = outlineId ?? '';
    if (inHand && isChanged(shown.outline, inHand, ['id', 'part', 'level_m', 'above_ground_m'])) fillOutline(inHand);
    if (isChanged(shown.bunker, doc.bunker, ['name', 'note', 'floor_level_m'])) fillFacts(doc.bunker);
    [shown.outline, shown.bunker] = [inHand, doc.bunker];
  };

  const fillOutline = (inHand) => {
    part.value = inHand.part;
    kind.value = inHand.level_m !== null ? 'level_m' : inHand.above_ground_m !== null ? 'above_ground_m' : '';
    height.value = kind.value === '' ? '' : fieldText(inHand[kind.value], ground);
  };
  const fillFacts = (bunker) => {
    [name.value, note.value] = [bunker.name, bunker.note];
    floor.value = bunker.floor_level_m === null ? '' : fieldText(bunker.floor_level_m, ground);
  };
  return { draw };
}

const isChanged = (was, is, keys) => was === null || (was !== is && keys.some((key) => was[key] !== is[key]));
