// What the field page shows: the holes of a site with their bunkers, how far each is painted, and what waits to be sent.

import { refusalWords, sendFaultLines, sendWords } from './fault_words.js';
import { agoWords, keptWords } from './plan_words.js';
import { paintedNumbers, standingMarks } from './standing.js';
import { supersededRow } from './superseded.js';

/**
 * The page {title, kept, records, canSend, holes}. `index` is the list of the site or null, `plans` a Map from a bundle's
 * address to {bundle, keptAt}, `records` this phone's own, `outbox` its state, `fault` why the server gave no list.
 */
export function fieldModel({ index, plans, records, outbox, fault, nowMs, hrefOf, pegsHrefOf }) {
  const held = index === null ? [] : index.holes.map((hole) => plans.get(hole.bundle_url) ?? null);
  return {
    title: index?.name ?? 'Out on the ground',
    kept: index === null ? '' : keptWords(held, nowMs),
    fault: fault === null ? null : faultLine(fault, index !== null),
    send: capital(sendWords(outbox)),
    records: recordsLine(outbox),
    canSend: outbox.waiting + (outbox.photos ?? 0) > 0,
    holes: index === null ? [] : index.holes.map((hole, i) => holeModel(hole, held[i], records.filter((r) => r.site === index.site), nowMs, { hrefOf, pegsHrefOf })),
  };
}

const capital = (words) => words[0].toUpperCase() + words.slice(1);

function recordsLine(outbox) {
  if (outbox.waiting + outbox.refused.length + (outbox.photos ?? 0) === 0) return outbox.unread ? '' : 'No record waits on this phone.';
  const wait = outbox.waiting + (outbox.photos ?? 0) > 0 ? 'Kept on this phone until the server has them.' : null;
  const lines = [wait, refusalWords(outbox.refused), ...sendFaultLines(outbox.faults)].filter(Boolean);
  return lines.join(' ');
}

function faultLine({ status, detail }, hasIndex) {
  if (status === 401 || status === 403) return `The server does not let this phone in: ${detail}`;
  if (status >= 400) return `The server says: ${detail}`;
  return hasIndex ? 'No signal to the server now. What is on this phone works on.' : 'The server is not reached, and nothing of this site is kept on this phone. Open this page once where there is signal.';
}

function holeModel(hole, plan, records, nowMs, { hrefOf, pegsHrefOf }) {
  const bunkers = plan === null ? hole.bunkers.map(bare) : plan.bundle.bunkers.map((bunker) => painted(bunker, hole, plan, records));
  return {
    number: hole.number,
    name: `${hole.number} ${hole.name}`,
    kept: plan === null ? 'Not on this phone yet' : `As on the server ${agoWords(plan.keptAt, nowMs)}`,
    bunkers: bunkers.map((bunker) => ({ ...bunker, href: hrefOf(bunker.id), pegsHref: pegsHrefOf(bunker.id), isKept: plan !== null })),
  };
}

const bare = ({ id, name, revision, points }) => ({ id, name, revision, points, done: null, progress: `${points} points`, superseded: null });

function painted(bunker, hole, { bundle }, records) {
  const own = records.filter((r) => r.hole === hole.number);
  const marks = standingMarks({ serverMarks: bundle.marks, own, practice: false, practiceStart: null });
  const points = bunker.outlines.reduce((sum, outline) => sum + outline.points.length, 0);
  const done = bunker.outlines.reduce((sum, outline) => sum + paintedNumbers(marks, bunker, outline).size, 0);
  const stands = hole.bunkers.find(({ id }) => id === bunker.id)?.revision ?? bunker.revision;
  const superseded = supersededRow({ kept: bunker.revision, stands, painted: marks.filter((m) => m.bunker === bunker.id).map(({ revision }) => revision) });
  return { id: bunker.id, name: bunker.name, revision: bunker.revision, points, done, superseded, progress: done === points ? 'all painted' : `${done} of ${points}` };
}
