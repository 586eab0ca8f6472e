// 'Get ready for the field': what was measured, as rows in plain words, and one verdict over all of them.

import { agoWords, keptWords } from './plan_words.js';

const CLOCK_MATTERS_S = 5;
const BATTERY_LOW = 0.3;
const ROUGH_M = 100;

const PAGE_FAULTS = {
  insecure: 'This page was opened over plain http: without signal it will not open, and the phone gives it no position.',
  unsupported: 'This browser keeps no pages: without signal this one will not open.',
  certificate: 'The browser does not trust this server\'s certificate (somebody passed over a warning), so it keeps nothing: without signal this page will not open.',
  'not reached': 'The page is not kept on this phone: it could not be fetched.',
  incomplete: 'The page is only partly kept on this phone: some of it could not be fetched.',
};
const PAGE_REMEDIES = {
  insecure: 'Ask the manager for the https address.',
  unsupported: 'Use another browser, and leave private browsing.',
  certificate: 'Open this server\'s page about trusting it (its address with /trust after it), follow its steps, then open this page again.',
};
const TRY_AGAIN = 'Go where there is signal, and check again.';

/** The lines 'kept on this phone' under More: the plan in hand, and whether the page itself is kept. */
export function keptHere(planLine, offline) {
  return [planLine, keptPageWords(offline)].filter((words) => words !== '');
}

function keptPageWords({ state, fault, newer }) {
  if (state === 'asking') return '';
  if (state === 'missing') return PAGE_FAULTS[fault];
  return newer ? 'This page opens without signal. A newer one waits until no set-out page is open.' : 'This page opens without signal.';
}

/**
 * The rows [{key, state: 'good' | 'mind' | 'bad' | 'checking', title, words, remedy}], what matters most first. Each of `facts`
 * is undefined while it is being looked at; what a phone cannot tell at all is null, and has no row.
 */
export function readyRows(facts, nowMs) {
  return ROWS.map(([key, title, make]) => {
    if (facts[key] === null) return null;
    const found = facts[key] === undefined ? { state: 'checking', words: 'Looking …' } : make(facts[key], nowMs);
    return { key, title, remedy: '', ...found };
  }).filter(Boolean);
}

const good = (words) => ({ state: 'good', words });
const mind = (words) => ({ state: 'mind', words });
const bad = (words, remedy) => ({ state: 'bad', words: `${words} ${remedy}`, remedy });

const ROWS = [
  ['secure', 'Address', ({ isSecure }) => (isSecure ? good('This page came over a secure connection.') : bad(`${PAGE_FAULTS.insecure} The compass stays off too.`, PAGE_REMEDIES.insecure))],
  ['homeScreen', 'Home screen', ({ waiting }) => bad(`This tab and a page on the home screen do not share what they store.${tabWords(waiting)}`, 'Before the first mark tap Share, then \'Add to Home Screen\', and open the page from there.')],
  ['server', 'Server', serverRow],
  ['page', 'This page', pageRow],
  ['plans', 'Plans', plansRow],
  ['storage', 'Storage', storageRow],
  ['location', 'Location', locationRow],
  ['clock', 'Clock', clockRow],
  ['battery', 'Battery', batteryRow],
];

function tabWords(waiting) {
  return waiting === 0 ? '' : ` ${waiting === 1 ? '1 record waits' : `${waiting} records wait`} in this tab: keep it until all are sent.`;
}

function serverRow({ reached, status, detail }) {
  if (!reached) return bad('The server is not reached.', TRY_AGAIN);
  if (status === 401 || status === 403) return bad('This phone is not signed in.', detail);
  return status < 400 ? good('Reached, and this phone is let in.') : bad(`The server is unwell: ${detail}`, 'Tell the manager.');
}

function pageRow({ state, fault, newer }) {
  if (state !== 'kept') return bad(PAGE_FAULTS[fault] ?? PAGE_FAULTS['not reached'], PAGE_REMEDIES[fault] ?? TRY_AGAIN);
  return newer ? mind('Kept on this phone. A newer one waits: close every set-out page, then check again.') : good('Kept on this phone: it opens without signal.');
}

function plansRow({ held, isFresh, faults }, nowMs) {
  const kept = held.filter(Boolean);
  if (held.length === 0 && isFresh) return mind('This site has nothing to set out yet.');
  if (kept.length < held.length || held.length === 0) return bad(keptWords(held, nowMs), faults[0] ?? TRY_AGAIN);
  if (!isFresh) return bad(`${keptWords(held, nowMs)} Whether they are the newest is not known.`, faults[0] ?? TRY_AGAIN);
  return good(`${keptWords(held, nowMs)} These are the newest.`);
}

function storageRow({ canKeep, persisted }) {
  if (!canKeep) return bad('This phone lets the page store nothing.', 'Leave private browsing, or make room, then check again.');
  if (persisted) return good('The phone has promised to keep what this page stores.');
  return mind('The phone promises nothing: it may clear a page that is not used for days. Open this page again before you go out.');
}

function locationRow({ state, accuracyM }) {
  if (state === 'refused') return bad('Location is refused for this page.', 'Allow location in the settings of the browser, then check again.');
  if (state === 'insecure') return bad('Over plain http the phone gives no position.', PAGE_REMEDIES.insecure);
  if (state === 'missing') return bad('This browser gives no position.', 'Use another browser.');
  if (state === 'none') return bad('Allowed, but no position has come.', 'Switch location on, go into the open, then check again.');
  if (accuracyM > ROUGH_M) return mind(`A position came, good to ${Math.round(accuracyM)} m only by the phone's own figure. Allow the precise location, and go into the open.`);
  return good(`Allowed, and a position came${accuracyM > 0 ? `, good to ${accuracyWords(accuracyM)} by the phone's own figure` : ''}.`);
}

const accuracyWords = (m) => (m < 1 ? `${Math.round(m * 100)} cm` : `${Math.round(m)} m`);

function clockRow({ aheadS, withinS }) {
  const off = Math.abs(aheadS);
  if (off <= CLOCK_MATTERS_S + withinS) return good(`Right, within ${Math.ceil(off + withinS)} s of the server's.`);
  return mind(`The phone's clock is ${spanWords(off)} ${aheadS > 0 ? 'ahead of' : 'behind'} the server's. Set it to automatic. Records keep the phone's own time.`);
}

function spanWords(seconds) {
  const [size, name] = seconds < 90 ? [1, 's'] : seconds < 5400 ? [60, 'minutes'] : seconds < 129600 ? [3600, 'hours'] : [86400, 'days'];
  return `${Math.round(seconds / size)} ${name}`;
}

function batteryRow({ level, isCharging }) {
  const percent = `${Math.round(level * 100)} %`;
  if (isCharging) return good(`${percent}, charging.`);
  return level < BATTERY_LOW ? mind(`${percent}. Charge it before you go: the screen stays on while you work.`) : good(`${percent}.`);
}

/** The verdict over the rows: {state: 'checking' | 'ready' | 'not ready', title, words}. */
export function readyVerdict(rows) {
  const first = rows.find(({ state }) => state === 'bad');
  if (rows.some(({ state }) => state === 'checking')) return { state: 'checking', title: 'Checking', words: 'This takes a few seconds. Stay where there is signal.' };
  if (first) return { state: 'not ready', title: 'Not ready', words: `${first.title} first. ${first.remedy}` };
  const open = rows.filter(({ state }) => state === 'mind').map(({ title }) => title.toLowerCase());
  return { state: 'ready', title: 'Ready for the field', words: open.length === 0 ? 'Everything is on this phone.' : `Everything needed is on this phone. Mind: ${open.join(', ')}.` };
}

/** What the button says under it, from the last check {at, state}. */
export function lastCheckWords(last, nowMs) {
  if (!last) return 'before you leave the yard';
  return `${last.state === 'ready' ? 'ready' : 'not ready'} when checked ${agoWords(last.at, nowMs)}`;
}
