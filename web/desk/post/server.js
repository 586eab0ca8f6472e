// Drafts on the server: asked for, and put there over the number they grew from.

const LIMIT_MS = 15_000;
/** Refusals of this moment alone: too slow, too many at once. */
const PASSING = new Set([408, 429]);
const NUMBER = /"(\d+)"/;

/**
 * The newest draft of a bunker: {number, document, remarks}, where number 0 is one that was never drawn and document null
 * one that nobody knows; or {isAway: true} where the server cannot be reached, {words} where it refuses, in its own words.
 */
export async function askDraft(address) {
  const answer = await asked(address);
  if (answer === null) return { isAway: true };
  const body = await answer.json().catch(() => ({}));
  if (answer.status === 404) return { number: 0, document: null, remarks: [] };
  if (!answer.ok) return refusal(answer, body);
  return theirsOf(body);
}

/**
 * Put a draft over the number it grew from, signed by `person`: {number} taken; {theirs: {number, document, changes}} where
 * others came first, with what they did in sentences; else as above, where a server that cannot take anything just now is away too.
 */
export async function putDraft(address, draft, number, person) {
  const answer = await asked(address, {
    method: 'PUT', body: JSON.stringify({ draft, person }), headers: { 'content-type': 'application/json', 'if-match': `"${number}"` },
  });
  if (answer === null || answer.status >= 500 || PASSING.has(answer.status)) return { isAway: true };
  if (answer.status === 412) return { theirs: theirsOf(await answer.json().catch(() => ({}))) };
  if (answer.ok) return { number: numberOf(answer) ?? number + 1 };
  return refusal(answer, await answer.json().catch(() => ({})));
}

/** Ask the server for something worked out there; {body}, {isAway} or {words}. */
export function askWork(address, document) {
  return askBody(address, { method: 'POST', body: JSON.stringify(document), headers: { 'content-type': 'application/json' } });
}

/** The saves of a draft, newest first; {body: {drafts}}, {isAway} or {words}. */
export const askSaves = (address) => askBody(`${address}s`);

/** One save by its number; {body: {draft}}, {isAway} or {words}. */
export const askSave = (address, number) => askBody(`${address}s/${number}`);

/** Give the draft up that has this number, signed by `person`; {body}, {isAway} or {words}. */
export function giveUp(address, number, person) {
  return askBody(`${address}/give-up`, { method: 'POST', body: JSON.stringify({ person }), headers: { 'content-type': 'application/json', 'if-match': `"${number}"` } });
}

async function askBody(address, how) {
  const answer = await asked(address, how);
  if (answer === null) return { isAway: true };
  const body = await answer.json().catch(() => ({}));
  return answer.ok ? { body } : refusal(answer, body);
}

const theirsOf = ({ number = 0, draft = null, state = null, person = '', changes = [], remarks = [] }) => ({ number, document: draft, state, person, changes, remarks });

function asked(address, how = {}) {
  return fetch(address, { ...how, cache: 'no-store', signal: AbortSignal.timeout(LIMIT_MS) }).catch(() => null);
}

const numberOf = (answer) => {
  const [, number] = NUMBER.exec(answer.headers.get('etag') ?? '') ?? [];
  return number === undefined ? null : Number(number);
};

const refusal = (answer, body) => ({ words: body.detail ?? `The server answered ${answer.status}.` });
