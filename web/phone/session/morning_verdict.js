// The verdict of a morning check: safe to go on, set these again, or cannot tell, with the reasons and what would settle it.

import { groundWords, radiusWords } from './lengths.js';

const OUT = ['moved', 'missing'];
const AGAIN = 'Tape the distances once more, each by itself.';

/**
 * {verdict: 'go on' | 're-set' | 'cannot tell', reset: [peg], reasons: [sentence], settle: [sentence]}. `pegs` are the ids of
 * the bunker's pegs, `states` {id: 'found' | 'moved' | 'missing'} those seen this morning, `finding` what the distances say
 * (as `whichMoved`), null where none was taped; `before` are pegs that stand as out of place: one that has moved does until it
 * is set again, though it was seen this morning. `faults` says of distances why they cannot be used: with any of those the
 * others count for nothing.
 *
 * Go on: the distances fit, would have shown a move of every peg, and every peg was found. Set again: a peg was reported
 * moved or missing, or the distances name one. Anything else cannot be told.
 */
export function morningVerdict({ pegs, states, finding: found, before = [], faults = [], unit = 'metre' }) {
  const finding = faults.length > 0 ? null : found;
  const left = before.filter((peg) => !OUT.includes(states[peg]));
  const reported = pegs.filter((peg) => OUT.includes(states[peg]) || left.includes(peg));
  const named = finding !== null && finding.verdict === 'misfit' ? finding.suspects : [];
  const reset = [...reported, ...named.filter((peg) => !reported.includes(peg))];
  const reasons = [...reported.map((peg) => (left.includes(peg) ? `${peg} was out of place before and is not set again.` : `${peg} was found ${states[peg]}.`)), ...tapeReasons(finding, named, unit)];
  const unseen = pegs.filter((peg) => states[peg] === undefined);
  const settle = [...(faults.length > 0 ? faults : tapeSettle(pegs, finding, reset)), ...(unseen.length ? [`Go and see ${listWords(unseen)}.`] : [])];
  if (reset.length > 0) return { verdict: 're-set', reset, reasons, settle };
  if (settle.length > 0 || finding?.verdict !== 'all fit' || pegs.length === 0) return { verdict: 'cannot tell', reset, reasons, settle };
  return { verdict: 'go on', reset, reasons, settle: [] };
}

function tapeReasons(finding, named, unit) {
  if (finding === null) return [];
  if (finding.verdict === 'all fit') return [`The taped distances fit: ${seenWords(finding, unit)} would have shown.`];
  if (named.length === 1) return [`The tapes show that ${named[0]} is not where it was${shiftWords(finding.shift, unit)}.`];
  const { suspects, suspectLine } = finding;
  if (finding.verdict === 'misfit') return [suspectLine === null ? 'The tapes do not fit, and more than one thing is wrong.' : `${suspectLine.join(' to ')} does not fit the others: it was misread, or taped wrong.`];
  if (suspects.length > 0) return [`The tapes do not fit: ${listWords(suspects, 'or')} may have moved${suspectLine ? `, or ${suspectLine.join(' to ')} was misread` : ''}.`];
  const unseen = finding.strengths.length === 0 || finding.strengths.some(({ seenFromM }) => seenFromM === null);
  return [`The tapes fit so far, but ${unseen ? 'they are too few to show every move' : `only ${seenWords(finding, unit)} would have shown: more than this site allows`}.`];
}

/** What would have shown: 'a peg moved by 7.1 cm or more (80 of 100 times)'; of moves the least that none hides. */
function seenWords({ strengths }, unit) {
  return `a peg moved by ${radiusWords(Math.max(...strengths.map(({ seenFromM }) => seenFromM)), unit)} or more (80 of 100 times)`;
}

/** How far a named peg is from where it was, where the tapes tell. */
function shiftWords(shift, unit) {
  return shift === null || shift.movedM <= shift.withinM ? '' : `: it is about ${groundWords(shift.movedM, unit, shift.withinM)} off`;
}

function tapeSettle(pegs, finding, reset) {
  if (pegs.length === 0) return ['This bunker has no peg in reach: place pegs first.'];
  if (pegs.length < 3) return [`${pegs.length === 1 ? 'One peg cannot be checked' : 'Two pegs cannot check each other'} by tape: place a third.`];
  if (finding === null) return ['Tape between the pegs.'];
  const untaped = finding.unchecked.filter((peg) => pegs.includes(peg) && !reset.includes(peg));
  if (finding.wanted !== null) return [`Tape ${finding.wanted.join(' to ')}.`];
  if (finding.verdict === 'all fit') return untaped.length === 0 ? [] : [`Tape to ${listWords(untaped)} as well.`];
  if (reset.length > 0) return [];
  if (finding.suspects.length > 0) return [`Measure nothing from ${listWords(finding.suspects)}: set again whichever is loose.`];
  return [AGAIN];
}

/** What the distances say so far, as a strip shows it; null where nothing was taped. `faults` as in `morningVerdict`. */
export function tapesStrip(finding, unit, faults = []) {
  if (faults.length > 0) return { kind: 'cannot tell', title: 'Cannot tell', detail: faults.join(' '), turnDeg: 180 };
  if (finding === null) return null;
  const named = finding.verdict === 'misfit' ? finding.suspects : [];
  const kind = { 'all fit': 'inside', misfit: 'outside', 'cannot tell': 'cannot tell' }[finding.verdict];
  const title = { 'all fit': 'All fit', misfit: named.length === 1 ? `${named[0]} has moved` : 'They do not fit', 'cannot tell': 'Cannot tell yet' }[finding.verdict];
  const isOpen = finding.verdict === 'cannot tell' && finding.suspects.length === 0;
  const more = finding.wanted === null ? [AGAIN].filter(() => isOpen) : [`Tape ${finding.wanted.join(' to ')}.`];
  return { kind, title, detail: [...tapeReasons(finding, named, unit), ...more].join(' '), turnDeg: 180 };
}

/** The same in one line, for the record. */
export const tapesWords = (finding, unit) => `${tapesStrip(finding, unit).title}. ${tapesStrip(finding, unit).detail}`.trim();

/** 'r4a', 'r4a and r4b', 'r4a, r4b and r4c'. */
export function listWords(names, word = 'and') {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} ${word} ${names.at(-1)}`;
}

const TITLES = { 'go on': 'Safe to go on', 're-set': 'Set again', 'cannot tell': 'Cannot tell' };
const KINDS = { 'go on': 'inside', 're-set': 'outside', 'cannot tell': 'cannot tell' };

/** The verdict as a strip shows it, {kind, title, detail, turnDeg}; the arrow points into the ground. */
export function verdictStrip({ verdict, reset, reasons, settle }) {
  const title = verdict === 're-set' ? `${TITLES[verdict]}: ${listWords(reset)}` : TITLES[verdict];
  return { kind: KINDS[verdict], title, detail: [...reasons, ...settle].join(' '), turnDeg: 180 };
}

/** The words that go into the record. */
export const verdictSaid = (found) => `${verdictStrip(found).title}. ${verdictStrip(found).detail}`.trim();
