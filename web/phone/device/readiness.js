// Measuring whether a phone is ready for the field. What a phone cannot tell is null; nothing here rejects.

import { faultOf } from './answer_fault.js';

const TIMEOUT_MS = 8000;
const POSITION_MS = 20000;

/** The phone's clock against the server's: {aheadS, withinS}, half the way there and back; null when it is not reached. */
export async function measureClock(url) {
  try {
    const [start, startedAt] = [performance.now(), Date.now()];
    const answer = await fetch(url, { cache: 'no-store', signal: AbortSignal.timeout(TIMEOUT_MS) });
    const halfMs = (performance.now() - start) / 2;
    const serverMs = Date.parse((await answer.json()).now);
    return Number.isFinite(serverMs) ? { aheadS: (startedAt + halfMs - serverMs) / 1000, withinS: halfMs / 1000 } : null;
  } catch {
    return null;
  }
}

/** How the server answered a question that only a phone it lets in may ask: {reached, status, detail}. */
export async function measureServer(url) {
  try {
    const answer = await fetch(url, { cache: 'no-store', signal: AbortSignal.timeout(TIMEOUT_MS) });
    if (answer.ok) return { reached: true, status: answer.status, detail: '' };
    return { reached: true, status: answer.status, detail: (await faultOf(answer)).detail };
  } catch {
    return { reached: false, status: null, detail: '' };
  }
}

/** Whether the page can store at all, and whether the phone promises to keep it; asks for that promise. */
export async function measureStorage(keep) {
  const canKeep = await keep.set('storage checked', Date.now()).then(() => true, () => false);
  const persisted = await Promise.resolve(navigator.storage?.persist?.()).catch(() => false);
  return { canKeep, persisted: persisted === true };
}

/** Whether a position comes: {state: 'fix' | 'refused' | 'none' | 'missing' | 'insecure', accuracyM}. Asks for leave. */
export function measureLocation() {
  if (!isSecureContext) return Promise.resolve({ state: 'insecure', accuracyM: null });
  if (!('geolocation' in navigator)) return Promise.resolve({ state: 'missing', accuracyM: null });
  return new Promise((resolve) => {
    const end = (state, accuracyM) => {
      clearTimeout(timer);
      navigator.geolocation.clearWatch(watch);
      resolve({ state, accuracyM });
    };
    const timer = setTimeout(() => end('none', null), POSITION_MS);
    const watch = navigator.geolocation.watchPosition(
      ({ coords }) => end('fix', coords.accuracy),
      ({ code }) => code === 1 && end('refused', null),
      { enableHighAccuracy: true, maximumAge: 0 },
    );
  });
}

/** The battery {level 0 to 1, isCharging}; null where the browser does not tell. */
export async function measureBattery() {
  const found = await Promise.resolve(navigator.getBattery?.()).catch(() => null);
  return found ? { level: found.level, isCharging: found.charging } : null;
}

/** Whether this is a tab on an iPhone or iPad, which does not share its storage with the home screen. */
export function isAppleTab() {
  const isApple = /iPhone|iPad|iPod/.test(navigator.userAgent) || (/Macintosh/.test(navigator.userAgent) && navigator.maxTouchPoints > 1);
  return isApple && navigator.standalone !== true && !matchMedia('(display-mode: standalone)').matches;
}
