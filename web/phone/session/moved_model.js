// What the screen shows that tells whether a peg has moved: distances, what they say, where a moved peg is now.

import { bunkerOf, outlineOf } from './job.js';
import { groundWords } from './lengths.js';
import { tapeModel, unusableWords } from './morning_model.js';
import { isBetween, wantedWords } from './morning_draft.js';
import { tapesStrip } from './morning_verdict.js';
import { movedState } from './moved_draft.js';
import { wayTo } from './guidance.js';
import { clockWords } from './clock_words.js';
import { groundOf } from './tape_points.js';
import { sketchOf } from './tape_sketch.js';
import { errorWords, tapeParts, tapeWords } from './tape_words.js';
import { UNTOLD_SIGMA_M } from '../geometry/network.js';

const R95_IN_SIGMA = Math.sqrt(-2 * Math.log(1 - 0.95));
/** Three tapes that miss each other by more than this many times what one errs make no triangle. */
const OPEN_SIGMAS = 5;
const VERDICTS = { 'all fit': 'All fit', misfit: 'They do not fit', 'cannot tell': 'Cannot tell' };
const SIDES = [['towardGreenM', 'toward the green', 'toward the tee'], ['rightM', 'to the right', 'to the left']];

/** What the row on the first screen says. */
export function movedRowWords({ own, practice, bunkerId }) {
  const undone = new Set(own.filter(({ kind }) => kind === 'undo').map(({ undoes }) => undoes));
  const counts = practice === null ? (r) => !r.practice : (r) => r.practice && r.made_at >= practice.start;
  const last = own.filter((r) => r.kind === 'taped' && r.bunker === bunkerId && counts(r) && !undone.has(r.id)).at(-1);
  return last === undefined ? 'Distances between pegs tell' : `${VERDICTS[last.verdict]}, taped at ${clockWords(last.made_at)}`;
}

/** The model: that of the distances to tape, with `sketch` (null without pegs), `facts` [[name, words]], `done`, `other`. */
export function movedModel(job, { draft, told, said, faults, pick, pegs, leftOut }) {
  const unit = job.bundle.site.units.ground;
  const tapes = tapeModel(job, { draft, told, said, faults, pick, netPegs: pegs });
  const unusable = unusableWords(faults, said);
  const isSaved = movedState(job, draft) === 'saved';
  return {
    ...tapes,
    intro: [tapes.intro, ...leftOut].join(' '),
    lines: tapes.lines.map((line, i) => ({ ...line, label: isSecond(draft, i) ? `${line.label}, once more` : line.label })),
    told: tapes.told.concat(openTriangles(said.lines, job.bundle.tape.error_m, unit)),
    strip: tapesStrip(askedAgain(draft, said.finding), unit, unusable) ?? { kind: 'cannot tell', title: 'Nothing taped yet', detail: 'Three distances between three pegs are the least that tell.', turnDeg: 0 },
    wanted: isSaved || unusable.length > 0 || isListed(draft, said.finding?.wanted ?? null) ? null : tapes.wanted ?? wantedHere(draft, said.finding),
    canPick: tapes.canPick && !isSaved,
    sketch: movedSketch(job, pegs, draft, said.finding),
    facts: said.finding === null || unusable.length > 0 ? [] : factsOf(job, pegs, said, unit),
    done: isSaved ? 'Begin again' : 'Save this',
    other: isSaved ? 'Take it back' : null,
  };
}

/** Whether a wanted distance is on the list already and not yet taped. */
const isListed = ({ lines }, wanted) => wanted !== null && lines.some((line) => line.typed === '' && isBetween(line, ...wanted));

const wantedHere = (draft, finding) => ((finding?.wanted ?? null) === null ? null : `Tape ${wantedWords(draft, finding.wanted)}`);

/** The finding with its wanted distance named as a second reading where it is one. */
function askedAgain(draft, finding) {
  return (finding?.wanted ?? null) === null ? finding : { ...finding, wanted: [wantedWords(draft, finding.wanted)] };
}

/** Whether the same two pegs stand on the list before this line. */
const isSecond = ({ lines }, i) => lines.slice(0, i).some((line) => isBetween(line, lines[i].one, lines[i].other));

/** Sentences about three distances between three pegs that make no triangle, beyond what the tape itself errs. */
function openTriangles(lines, errorM, unit) {
  const between = (one, other) => lines.find((line) => isBetween(line, one, other));
  return lines.flatMap((long) => lines.filter(({ one, other }) => [one, other].includes(long.one) && !isBetween(long, one, other)).flatMap((first) => {
    const corner = first.one === long.one ? first.other : first.one;
    const second = between(corner, long.other);
    if (second === undefined || long.distanceM <= first.distanceM + second.distanceM + OPEN_SIGMAS * errorM) return [];
    const [all, part, rest] = [long, first, second].map(({ distanceM }) => tapeWords(distanceM, unit));
    return [`${all} from ${long.one} to ${long.other} cannot lie between ${part} and ${rest} by ${corner}: one of the three is misread.`];
  }));
}

function factsOf(job, pegs, said, unit) {
  const { finding, lines } = said;
  const facts = lines.map((line) => [`${line.one} to ${line.other}`, longerWords(job, pegs, line, unit)]);
  const act = actWords(said, unit);
  if (act !== null) facts.unshift(['What to do', act]);
  if (finding.shift !== null) facts.unshift([`Where ${finding.shift.peg} is now`, shiftWords(job, pegs, finding.shift, unit)]);
  if (finding.unchecked.length > 0) facts.push(['Nothing was taped to', finding.unchecked.join(', ')]);
  return facts.concat([['What would have shown', seenWords(finding, unit)], ['Reckoned with', basisWords(job, pegs, unit)]]);
}

/** What to do about what is named; null where nothing is, or where another distance is wanted first. */
function actWords({ finding, lines }, unit) {
  if (finding.reason === 'one peg') return `Measure nothing from ${finding.suspects[0]} until it is set again.`;
  if (finding.reason !== 'one distance' || finding.wanted !== null) return null;
  const { one, other, distanceM } = lines[finding.tests.find(({ remains }) => remains).line];
  return `Leave out ${tapeWords(distanceM, unit)} from ${one} to ${other}: taped again it reads otherwise.`;
}

/** How a reading compares with the places of its pegs: '20.06 m, 6 cm longer than by their places'. */
function longerWords({ bundle: { frame: { ground_scale: scale } } }, pegs, { one, other, distanceM, levelDifferenceM }, unit) {
  const [a, b] = [one, other].map((id) => pegs.find((peg) => peg.id === id));
  const rise = levelDifferenceM ?? 0;
  const offM = Math.sqrt(distanceM ** 2 - rise ** 2) - scale * Math.sqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2);
  const apart = Number(tapeParts(Math.abs(offM), unit)[0]) === 0 ? 'as by their places' : `${tapeWords(Math.abs(offM), unit)} ${offM > 0 ? 'longer' : 'shorter'} than by their places`;
  return `${tapeWords(distanceM, unit)}, ${apart}`;
}

/** Where a moved peg is from where it was, seen along the play, and how well that is known. */
function shiftWords(job, pegs, { peg, x, y, movedM, withinM }, unit) {
  const { ground_scale: scale } = job.bundle.frame;
  const way = wayTo(job.frame, scale, bunkerOf(job).play_bearing_deg, pegs.find(({ id }) => id === peg), { x: x / scale, y: y / scale });
  const steps = SIDES.filter(([side]) => Math.abs(way[side]) >= withinM / 2)
    .map(([side, plus, minus]) => `${offWords(Math.abs(way[side]), unit, withinM, movedM)} ${way[side] > 0 ? plus : minus}`);
  return `${steps.join(' and ') || 'hardly'} from its place, within ${errorWords(withinM, unit)} (95 of 100 times)`;
}

/** How far off a peg is: in hundredths of a foot where tapes are read in them. */
const offWords = (offM, unit, withinM, movedM) => (unit === 'foot' ? tapeWords(offM, unit) : groundWords(offM, unit, withinM, movedM));

function seenWords({ strengths }, unit) {
  if (strengths.length === 0 || strengths.some(({ seenFromM }) => seenFromM === null)) return 'not every move: too few distances';
  const least = Math.max(...strengths.map(({ seenFromM }) => seenFromM));
  return `a peg that moved by ${errorWords(least, unit)} or more, 80 of 100 times`;
}

function basisWords({ bundle: { tape } }, pegs, unit) {
  const within = Math.max(...pegs.map(({ withinM }) => withinM ?? R95_IN_SIGMA * UNTOLD_SIGMA_M));
  return `tape ± ${errorWords(tape.error_m, unit)} (68 of 100), pegs within ${errorWords(within, unit)} (95 of 100); 1 false alarm in 100`;
}

/** The pegs on the grass with every distance: taped, still to tape, or in doubt. */
function movedSketch(job, pegs, { lines }, finding) {
  if (pegs.length === 0) return null;
  const scale = job.bundle.frame.ground_scale;
  const places = pegs.map((peg) => ({ id: peg.id, x: peg.x * scale, y: peg.y * scale, isUsed: finding?.suspects.includes(peg.id) ?? false }));
  const placeOf = (id) => places.find((peg) => peg.id === id);
  const points = outlineOf(job).points.map(([, x, y]) => ({ x: x * scale, y: y * scale }));
  const kindOf = (line) => {
    if (finding?.suspectLine && isBetween(line, ...finding.suspectLine)) return 'doubt';
    return line.typed === '' ? 'check' : 'tape';
  };
  const drawn = lines.filter(({ one, other }) => placeOf(one) && placeOf(other));
  return sketchOf({
    ...groundOf(job, []), pegs: places, rings: [], target: null, fit: places.concat(points),
    strings: drawn.map((line) => [placeOf(line.one), placeOf(line.other), kindOf(line)]),
  });
}

