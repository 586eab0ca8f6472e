// Asking the server for JSON, with an end to the waiting.

import { faultOf } from './answer_fault.js';

const TIMEOUT_MS = 8000;

/** The JSON at an address, never an old one; rejects when the server was not reached or said no. */
export function getJson(url) {
  return asked(url, { cache: 'no-store' });
}

/** The JSON that answers a JSON body. */
export function postJson(url, body) {
  return asked(url, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
}

async function asked(url, how) {
  const answer = await fetch(url, { ...how, signal: AbortSignal.timeout(TIMEOUT_MS) });
  if (!answer.ok) throw await faultOf(answer);
  return answer.json();
}
