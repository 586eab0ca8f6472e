// What the page says when the server says no, or says nothing. A fault is {status, title, detail}; without a status the
// server was not reached.

const GONE = 404;
const NOT_LET_IN = [401, 403];

/** Why there is nothing to work on: {title, words}. */
export function loadFaultWords({ status, title, detail, message }) {
  if (status >= 400 && status < 500) return { title: title ?? 'Set out', words: detail };
  return { title: 'Set out', words: `The plan of this hole could not be loaded, and none is kept on this phone: ${message}` };
}

/** The notice of a server that lets this phone in no more, as after its link has ended; null of any other fault or none. */
export function closedDoor(fault) {
  if (!NOT_LET_IN.includes(fault?.status)) return null;
  return { words: `The server does not let this phone in: ${fault.detail} What you mark is kept on this phone.`, danger: true };
}

/** What the server did not take, one line a fault; nothing of a server that was not reached. */
export function sendFaultLines(faults) {
  return faults.filter(({ status, count }) => status !== undefined && count > 0).map(({ status, detail, count }) => {
    const many = count === 1 ? '1 record' : `${count} records`;
    const why = status === GONE ? `its site is not on this server any more. ${detail}` : detail;
    const kept = NOT_LET_IN.includes(status) ? 'Kept on this phone, and sent by itself once it is let in.' : 'Kept on this phone.';
    return `The server did not take ${many}: ${why} ${kept}`;
  });
}

/** What the server refused for good. */
export function refusalWords(refused) {
  if (refused.length === 0) return null;
  const many = refused.length === 1 ? '1 record' : `${refused.length} records`;
  return `The server could not take ${many}: ${refused[0].detail} Kept on this phone.`;
}

/** How many records and photos wait and how many were refused, or that there is no signal to ask the server by; nobody knows before the phone's storage was looked into. */
export function sendWords({ unread, waiting, refused, photos = 0 }, hasSignal = true) {
  if (unread && waiting + refused.length + photos === 0) return 'looking what waits';
  const parts = [[waiting, 'to send'], [refused.length, 'refused'], [photos, `${photos === 1 ? 'photo' : 'photos'} to send`]]
    .filter(([count]) => count > 0);
  return parts.length === 0 ? (hasSignal ? 'all sent' : 'no signal') : parts.map((part) => part.join(' ')).join(', ');
}

/** What is said of a record once it is saved; practice says one thing everywhere. */
export const savedWords = ({ practice }) => (practice === null ? 'Saved, and sent when there is signal.' : 'Kept on this phone as practice.');

/** Where the records are, for the sheet of everything else. */
export function recordsWords({ unread, waiting, refused, faults }) {
  const lines = [refusalWords(refused), ...sendFaultLines(faults)].filter(Boolean);
  if (waiting > 0) lines.push(`${waiting} to send; kept on this phone until the server has them.`);
  if (faults.some(({ status }) => status === undefined)) lines.push('The server is not reached now.');
  if (lines.length > 0) return lines.join(' ');
  return unread ? 'What waits on this phone is not read yet.' : 'All are on the server.';
}
