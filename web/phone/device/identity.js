// Names made and kept on this phone: ids of records, the phone's own id, the painter's name, and whose link let it in.

import { getJson } from './asking.js';

const PATIENCE_MS = 1500;

/** A random id (version 4 UUID), also on pages where the browser offers none. */
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, '0')).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

/**
 * This phone's id, the painter's name and what its link is for: {device, person, role, isKept}; the id is made the first
 * time, the name is that on the link where it is one person's, and the role is null where it is not known.
 */
export async function loadIdentity(keep, meUrl) {
  const [device, person] = await Promise.all([keep.get('device'), keep.get('person')]).catch(() => []);
  const id = device ?? newId();
  const [isKept, link] = await Promise.all([keep.set('device', id).then(() => true, () => false), linkOf(keep, meUrl)]);
  const named = link !== null && !link.crew ? link.name : '';
  return { device: id, person: person || named, role: link?.role ?? null, isKept };
}

/** Whose link let this phone in, {name, role, crew}: as it is kept, while it is asked for anew; null when nothing is known. */
async function linkOf(keep, meUrl) {
  const asking = getJson(meUrl).then((me) => { keep.set('link', me).catch(() => {}); return me; }, () => null);
  const kept = await keep.get('link').catch(() => undefined);
  return kept ?? Promise.race([asking, new Promise((resolve) => { setTimeout(resolve, PATIENCE_MS, null); })]);
}
