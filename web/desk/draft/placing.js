// A bunker placed by play: turned and moved as a whole until it measures from a tee what was typed.

import { at, locate } from '../../phone/geometry/line_of_play.js';
import { shotOver } from '../../phone/geometry/shot.js';
import { drawn, measuredBy } from './drawn.js';
import { teeOf } from './figures.js';
import { moveBunker, turnBunker } from './whole.js';

const YARD_M = 0.9144;
/** A middle farther beyond the middle of the green than this is taken for a slip of the pen; ground metres. */
const MOST_BEYOND_GREEN_M = 60;
const LOOKED_EVERY_M = 2;
const FOUND_M = 1e-4;
const HALVINGS = 60;
const AFTER_A_TURN_M = 1e-9;

/**
 * {doc} with the bunker's middle `offset_m` right of the line of play from a tee, and as far along as makes it measure `length_m` by
 * `by`: 'along' of its middle, or the 'carry' or 'reach' of its sand; ground metres. Its long axis lies `slant_deg` clockwise from play
 * there; null leaves its bearing as it is. {fault} says why it cannot lie so. Of several such places it takes the one nearest to
 * the tee.
 */
export function placeByPlay(doc, board, wanted) {
  const tee = teeOf(board, wanted.tee);
  const sand = measuredBy(doc) && drawn(measuredBy(doc));
  const fault = faultOf(wanted, sand);
  if (fault !== null) return { fault };
  const place = placer(sand, tee, board.ground_scale, wanted);
  const lies = lieOf(tee.line, board.ground_scale);
  const say = wordsIn(board.units.yardage);
  const found = wanted.by === 'along' ? alongFor(wanted, lies, say) : solved(place, lies, wanted, say);
  if (found.fault !== undefined) return found;
  const { turnDeg, middle } = place.at(found.alongM);
  const back = locate(tee.line, ...middle);
  if (Math.abs(back.alongM - found.alongM) > FOUND_M || Math.abs(back.offsetM - wanted.offset_m / board.ground_scale) > FOUND_M) {
    return { fault: 'That place lies inside a bend, nearer to another leg of the line of play, so it would not measure so; give a smaller side, or drag the bunker there.' };
  }
  const own = sand.centroid();
  return { doc: moveBunker(turnBunker(doc, turnDeg, own), middle[0] - own[0], middle[1] - own[1]) };
}

function faultOf({ by, length_m, offset_m, slant_deg }, sand) {
  const names = { carry: 'The carry', reach: 'The reach', along: 'The distance along' };
  if (names[by] === undefined) throw new RangeError(`'${by}' is no way to place a bunker; it is carry, reach or along.`);
  const given = [[names[by], length_m], ['The side', offset_m], ['The slant', slant_deg ?? 0]];
  const wrong = given.find(([, number]) => !Number.isFinite(number));
  if (wrong !== undefined) return `${wrong[0]} is not a number; give it in figures.`;
  if (length_m < 0) return `${names[by]} is less than nothing; give how far it is from the tee.`;
  if (!sand) return 'Nothing is drawn yet; draw the sand edge, then place it.';
  if (sand.curve === null) return sand.fault;
  if (by === 'along' || sand.outline.closed) return null;
  return `The sand edge is an open line, which has no ${by}; close it, or place the bunker by its middle.`;
}

/** Where the bunker comes to lie for a distance along, and what it measures there: {at(alongM), measured(alongM)}, course metres. */
function placer(sand, tee, scale, { by, offset_m, slant_deg }) {
  const [own, longAxisDeg] = [sand.centroid(), sand.measures().longAxisBearingDeg];
  const placed = (alongM) => {
    const { x, y, bearingDeg } = at(tee.line, alongM);
    const [sine, cosine] = sineAndCosine(bearingDeg);
    const right = offset_m / scale;
    const turnDeg = slant_deg === null || slant_deg === undefined ? 0 : (((bearingDeg + slant_deg - longAxisDeg + 90) % 180) + 180) % 180 - 90;
    return { turnDeg, middle: [x + cosine * right, y - sine * right] };
  };
  const measured = (alongM) => {
    const { turnDeg, middle } = placed(alongM);
    const [sine, cosine] = sineAndCosine(-turnDeg);
    const [dx, dy] = [tee.x - middle[0], tee.y - middle[1]];
    const teeThere = [own[0] + dx * cosine + dy * sine, own[1] + dy * cosine - dx * sine];
    return shotOver(sand.curve, teeThere, own, sand.steps)?.[`${by}M`] ?? NaN;
  };
  return { at: placed, measured };
}

const sineAndCosine = (deg) => [Math.sin((deg * Math.PI) / 180), Math.cos((deg * Math.PI) / 180)];

/** {scale, most, legs}: how far along a middle may lie, and from where to where each leg runs up to there, course metres. */
function lieOf(line, scale) {
  const turns = line.slice(1, -1).map(([x, y]) => locate(line, x, y).alongM);
  const most = locate(line, ...line.at(-1)).alongM + MOST_BEYOND_GREEN_M / scale;
  const starts = [0, ...turns.map((turn) => turn + AFTER_A_TURN_M)];
  return { scale, most, legs: starts.map((start, i) => [start, turns[i] ?? most]) };
}

function alongFor({ length_m }, { scale, most }, say) {
  const alongM = length_m / scale;
  return alongM <= most ? { alongM } : { fault: beyondTheGreen(`A place ${say(length_m)} along the line of play`, say(most * scale)) };
}

/** The least distance along at which the bunker measures the wanted carry or reach, or why there is none. */
function solved({ measured }, { scale, legs }, { by, length_m }, say) {
  const target = length_m / scale;
  let [least, greatest] = [Infinity, -Infinity];
  for (const [start, end] of legs) {
    const count = Math.max(1, Math.ceil((end - start) / LOOKED_EVERY_M));
    let [was, wasOver] = [start, measured(start) - target];
    for (let step = 0; step <= count; step += 1) {
      const alongM = start + ((end - start) * step) / count;
      const over = measured(alongM) - target;
      if (over < least) least = over;
      if (over > greatest) greatest = over;
      const found = wasOver > 0 === over > 0 && over !== 0 ? NaN : halved((at) => measured(at) - target, was, alongM, wasOver);
      if (Math.abs(measured(found) - target) <= FOUND_M) return { alongM: found };
      [was, wasOver] = [alongM, over];
    }
  }
  return { fault: unsolved(by, say(length_m), least, greatest, (over) => say((target + over) * scale)) };
}

function halved(over, from, to, first) {
  let [low, high] = [from, to];
  for (let step = 0; step < HALVINGS; step += 1) {
    const middle = (low + high) / 2;
    if (over(middle) > 0 === first > 0) low = middle;
    else high = middle;
  }
  return high;
}

function unsolved(by, length, least, greatest, saidOf) {
  if (greatest < 0) return beyondTheGreen(`A ${by} of ${length}`, saidOf(greatest));
  if (least > 0) return `A ${by} of ${length} is too short so far beside the line: the least there is ${saidOf(least)}. Give a longer one or a smaller side.`;
  if (!Number.isFinite(least)) return `On the line to its middle there is no sand of this bunker, so it has no ${by}; place it by its middle.`;
  return `Nowhere on this line of play does the bunker have a ${by} of exactly ${length}: it changes at once as the bunker goes round a bend `
    + 'or the line to its middle meets other sand. Give another figure, or place it by its middle.';
}

const beyondTheGreen = (what, most) => `${what} lies beyond the green: here it is at most ${most}. Give a shorter one.`;

const wordsIn = (unit) => (lengthM) => (unit === 'yard' ? `${tidy(lengthM / YARD_M)} yards` : `${tidy(lengthM)} m`);

const tidy = (number) => String(Number(number.toFixed(1)));
