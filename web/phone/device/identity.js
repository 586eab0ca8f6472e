// Names made and kept on this phone: ids of records, the phone's own id, the painter's name.

/** A random id (version 4 UUID), also on pages where the browser offers none. */
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, '0')).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

/** This phone's id and the painter's name: {device, person, isKept}; the id is made the first time. */
export async function loadIdentity(keep) {
  const [device, person] = await Promise.all([keep.get('device'), keep.get('person')]).catch(() => []);
  const id = device ?? newId();
  const isKept = await keep.set('device', id).then(() => true, () => false);
  return { device: id, person: person ?? '', isKept };
}
