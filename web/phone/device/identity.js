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
 * time. The name is that on the link where it is one person's; on a crew's it is the one last typed, until the phone has
 * another link. The role is null where it is not known. The server is waited for at most 1.5 s.
 */
export async function loadIdentity(keep, meUrl) {
  const asking = getJson(meUrl).catch(() => null);
  const read = () => Promise.all(['device', 'person', 'link'].map((name) => keep.get(name)));
  const held = await read().catch(read).catch(() => null);
  const [device = newId(), person, link = null] = held ?? [];
  asking.then((me) => me && held && takeOver(keep, me, link)).catch(() => {});
  const [isKept, fresh] = await Promise.all([
    held !== null && keep.set('device', device).then(() => true, () => false),
    Promise.race([asking, after(navigator.onLine ? PATIENCE_MS : 0)]),
  ]);
  const by = fresh ?? link;
  const typed = isAnother(fresh, link) ? '' : person;
  return { device, person: (by && !by.crew ? by.name : typed) || '', role: by?.role ?? null, isKept };
}

/** Keep whose link this phone has now; with another's link the name that was typed before is forgotten. */
async function takeOver(keep, me, link) {
  if (isAnother(me, link)) await keep.set('person', '');
  await keep.set('link', me);
}

const isAnother = (me, link) => me !== null && link !== null && me.name !== link.name;

const after = (ms) => new Promise((resolve) => { setTimeout(resolve, ms, null); });
