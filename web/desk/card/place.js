// 'Place it': by tee, carry, side and slant as they are typed, or by steps along and aside of play.

import { moveBunker } from '../draft/whole.js';
import { placeByPlay } from '../draft/placing.js';
import { fieldText, firstFault, lengthWithin, typedLength, typedNumber } from './typed.js';

const NAMES = { carry: 'the carry', reach: 'the reach', along: 'how far along play its middle lies' };
const UNDRAWN = 'No line can be put through its points as they are, so it has no middle to go by; mend its points first.';
const [LEAST_MOVE_M, MOST_M, FIELD_DECIMALS] = [0.001, 2000, 1];

/** {draw(state)}: fills the fields with what the draft measures, but those that somebody types in; `seek` shows what has left the sheet. */
export function createPlace(board, bench, node, seek) {
  const { yardage, ground } = board.units;
  const [form, by, length, offset, side, slant, fault, nudgeBy] = ['place-form', 'place-by', 'place-length', 'place-offset', 'place-side', 'place-slant', 'place-fault', 'nudge-by'].map(node);
  const typed = new Set();
  form.addEventListener('input', ({ target }) => typed.add(target));
  by.addEventListener('change', () => draw(bench.state()));

  const draw = ({ figures, isDragging }) => {
    if (isDragging) return;
    const [lengthM, offsetM, slantDeg] = [figures[`${by.value}_m`], figures.offset_m, figures.slant_deg];
    fill(length, lengthM === null ? '' : fieldText(lengthM, yardage, FIELD_DECIMALS));
    fill(offset, offsetM === null ? '' : fieldText(Math.abs(offsetM), yardage, FIELD_DECIMALS));
    fill(side, offsetM < 0 ? 'left' : 'right');
    fill(slant, slantDeg === null ? '' : fieldText(Number(slantDeg.toFixed(FIELD_DECIMALS)) % 180, 'metre', FIELD_DECIMALS));
  };

  form.querySelector('[type=submit]').disabled = false;

  const fill = (field, value) => { if (!typed.has(field) && field.value !== value) field.value = value; };

  form.addEventListener('submit', (event) => {
    event.preventDefault();
    const [at, aside, turn] = [typedLength(length.value, yardage, NAMES[by.value]), typedLength(offset.value, yardage, 'how far aside it lies'), typedNumber(slant.value, 'The slant', -360, 360)];
    const asked = { tee: bench.state().teeId, by: by.value, length_m: at.lengthM, offset_m: (side.value === 'left' ? -1 : 1) * aside.lengthM, slant_deg: turn.number };
    const wrong = firstFault(at, aside, turn) ?? (Math.abs(at.lengthM) > MOST_M || Math.abs(aside.lengthM) > MOST_M ? 'That is farther than any hole is long; type it again.' : null);
    fault.textContent = wrong ?? place(asked) ?? '';
    if (fault.textContent === '') typed.clear();
    draw(bench.state());
  });

  /** Place the bunker; returns why it cannot be. */
  const place = (asked) => {
    const placed = placeByPlay(bench.state().doc, board, asked);
    if (placed.fault) return placed.fault;
    bench.edit(() => placed.doc, `place it by its ${by.value === 'along' ? 'middle' : by.value}`);
    seek();
    return null;
  };

  node('card-of-bunker').addEventListener('click', ({ target }) => {
    const way = { on: [1, 0], back: [-1, 0], right: [0, 1], left: [0, -1] }[target.dataset.nudge];
    if (!way) return;
    const stepM = lengthWithin(typedLength(nudgeBy.value, ground, 'how far to move it'), 'How far to move it', ground, LEAST_MOVE_M, MOST_M);
    const { figures } = bench.state();
    fault.textContent = stepM.fault ?? (figures.middle ? '' : UNDRAWN);
    if (fault.textContent) return;
    const [dx, dy] = alongPlay(figures, way, stepM.lengthM / board.ground_scale);
    bench.edit((doc) => moveBunker(doc, dx, dy), `move the bunker ${target.textContent}`);
  });

  return { draw };
}

/** Course metres of a way [along, right] of play at the bunker. */
function alongPlay({ play_bearing_deg: bearingDeg }, [along, right], length) {
  const bearing = (bearingDeg * Math.PI) / 180;
  const [sine, cosine] = [Math.sin(bearing), Math.cos(bearing)];
  return [length * (along * sine + right * cosine), length * (along * cosine - right * sine)];
}
