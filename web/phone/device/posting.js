// One batch of records to the server, and what became of it.

import { faultOf } from './answer_fault.js';

const FORMAT = { format: 'fieldapp-records', version: 1 };
const TIMEOUT_MS = 8000;
const SLOWEST_BYTES_A_MS = 2;
const UNTAKEABLE = [400, 409, 413, 422];

/**
 * Post records: {stored: [ids], refused: [{id, detail}], revisions: {bunker: the one that stands}}; rejects when the server was not reached, is unwell or lets nobody
 * in, and when something else on the way turned them away. It may take 8 s, and what an uplink of 2 kB/s needs for the length.
 */
export async function postRecords(url, records) {
  const body = JSON.stringify({ ...FORMAT, sent_at: new Date().toISOString(), records });
  const answer = await fetch(url, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body,
    signal: AbortSignal.timeout(TIMEOUT_MS + Math.ceil(new Blob([body]).size / SLOWEST_BYTES_A_MS)),
  });
  if (answer.ok) return takenApart(await answer.json());
  const fault = await faultOf(answer);
  if (!fault.isOurs || !UNTAKEABLE.includes(answer.status)) throw fault;
  if (records.length === 1) return { stored: [], refused: [{ id: records[0].id, detail: fault.detail }], revisions: {} };
  return oneByOne(url, records);
}

function takenApart({ stored, refused, revisions = {} }) {
  if (!Array.isArray(stored) || !Array.isArray(refused)) throw new Error('The answer is not a receipt.');
  return { stored, refused, revisions };
}

/** When a whole batch is turned away, each record is tried alone, so that one bad one holds up no other. */
async function oneByOne(url, records) {
  const receipts = [];
  for (const record of records) receipts.push(await postRecords(url, [record]));
  return {
    stored: receipts.flatMap((r) => r.stored), refused: receipts.flatMap((r) => r.refused),
    revisions: Object.assign({}, ...receipts.map((r) => r.revisions)),
  };
}
