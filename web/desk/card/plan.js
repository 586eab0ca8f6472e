// 'What is planned': the figures that the bunker is meant to measure from a tee, as they are typed or as it measures now.

import { setPlan } from '../draft/edits.js';
import { fieldText, firstFault, typedLength } from './typed.js';

const MOST_M = 2000;
const [TENTH, USUAL_TOLERANCE_M] = [0.1, 0.9144];
const UNIT_M = { yard: 0.9144, metre: 1 };
const EMPTY = 'Type at least one figure, or choose “Nothing planned”.';
const LONGER = 'The reach cannot be longer than the carry; correct one.';
const NEGATIVE = 'A reach or carry is counted from the tee, so it cannot be less than 0; type it again.';
const FAR = 'That is farther than any hole is long; type it again.';
const TOLERANCE = 'The tolerance must be from 0.001 m to 100 m.';
const UNDRAWN = 'No line can be put through its points as they are, so it measures nothing; mend its points first.';

/** {draw(state)}: fills the fields with the plan, where it has changed. */
export function createPlan(board, bench, node) {
  const { yardage } = board.units;
  const [form, tee, reach, carry, along, offset, side, tolerance, fault, words] = ['plan-form', 'plan-tee', 'plan-reach', 'plan-carry', 'plan-along', 'plan-offset', 'plan-side', 'plan-tolerance', 'plan-fault', 'plan-words'].map(node);
  let shown;

  const lengthOf = (field, what) => (field.value.trim() === '' ? { lengthM: null } : typedLength(field.value, yardage, what));

  /** The plan as it is typed, or {fault}. */
  const typed = () => {
    const lengths = [lengthOf(reach, 'the reach'), lengthOf(carry, 'the carry'), lengthOf(along, 'how far along play its middle lies'), lengthOf(offset, 'how far aside it lies')];
    const within = tolerance.value.trim() === '' ? { lengthM: USUAL_TOLERANCE_M } : typedLength(tolerance.value, yardage, 'the tolerance');
    const wrong = firstFault(...lengths, within);
    if (wrong !== null) return { fault: wrong };
    const [reachM, carryM, alongM, asideM] = lengths.map(({ lengthM }) => lengthM);
    const offsetM = asideM === null ? null : (side.value === 'left' ? -1 : 1) * asideM;
    const plan = { tee: tee.value, reach_m: reachM, carry_m: carryM, along_m: alongM, offset_m: offsetM, tolerance_m: within.lengthM };
    return { plan, fault: faultOf(plan) };
  };

  const set = (plan, said) => {
    fault.textContent = '';
    bench.edit((doc) => setPlan(doc, plan), said);
    shown = undefined;
    draw(bench.state());
  };

  form.addEventListener('submit', (event) => {
    event.preventDefault();
    const { plan, fault: wrong } = typed();
    fault.textContent = wrong ?? '';
    if (!wrong) set(plan, 'plan its figures');
  });
  node('plan-measured').addEventListener('click', () => {
    const { figures, teeId, doc } = bench.state();
    if (!figures.middle) return void (fault.textContent = UNDRAWN);
    const round = (lengthM) => (lengthM === null ? null : Math.round(lengthM / (TENTH * UNIT_M[yardage])) * TENTH * UNIT_M[yardage]);
    const [reachM, carryM, alongM, offsetM] = ['reach_m', 'carry_m', 'along_m', 'offset_m'].map((key) => round(figures[key]));
    return set({ tee: teeId, reach_m: reachM, carry_m: carryM, along_m: alongM, offset_m: offsetM, tolerance_m: doc.plan?.tolerance_m ?? USUAL_TOLERANCE_M }, 'plan what it measures');
  });
  node('plan-nothing').addEventListener('click', () => { if (bench.state().doc.plan !== null) set(null, 'plan nothing'); });

  const draw = ({ doc: { plan }, teeId }) => {
    if (shown === plan) return;
    shown = plan;
    words.textContent = plan === null ? 'Nothing is planned: the yardage check on the phone has nothing to compare with.' : '';
    const text = (lengthM) => (typeof lengthM === 'number' ? fieldText(lengthM, yardage) : '');
    tee.value = plan?.tee ?? teeId;
    [reach.value, carry.value, along.value] = [text(plan?.reach_m), text(plan?.carry_m), text(plan?.along_m)];
    offset.value = typeof plan?.offset_m === 'number' ? text(Math.abs(plan.offset_m)) : '';
    side.value = plan?.offset_m < 0 ? 'left' : 'right';
    tolerance.value = text(plan?.tolerance_m ?? USUAL_TOLERANCE_M);
  };
  return { draw };
}

/** What is wrong with a plan as a whole, or null. */
function faultOf({ reach_m: reachM, carry_m: carryM, along_m: alongM, offset_m: offsetM, tolerance_m: toleranceM }) {
  const given = [reachM, carryM, alongM, offsetM].filter((lengthM) => lengthM !== null);
  if (given.length === 0) return EMPTY;
  if (given.some((lengthM) => Math.abs(lengthM) > MOST_M)) return FAR;
  if (reachM < 0 || carryM < 0) return NEGATIVE;
  if (reachM !== null && carryM !== null && reachM > carryM) return LONGER;
  return toleranceM >= 0.001 && toleranceM <= 100 ? null : TOLERANCE;
}
