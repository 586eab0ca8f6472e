// The phone's own receiver, by the browser's watch. Position errors are said in one word; wording is done elsewhere.

const FRESH_MS = 3000;
const PATIENCE_MS = 1500;
const TIMEOUT_MS = 20000;

/**
 * A receiver: start() and stop(); `onFix(fix)` and `onTrouble('insecure' | 'refused' | 'unavailable' | 'timeout' | 'missing')`.
 * `createClock()` makes, for each watch, what tells from a fix's own time and its arrival when it was.
 */
export function createPhoneReceiver({ createClock, onFix, onTrouble }) {
  let watch = null;
  let timeOf = null;
  let lastAt = 0;
  let complaint = null;

  const take = (position) => {
    clearTimeout(complaint);
    lastAt = Date.now();
    onFix(fixOf(position, timeOf(position.timestamp, lastAt)));
  };

  const fail = (error) => {
    if (error.code === 1) return onTrouble(isSecureContext ? 'refused' : 'insecure');
    const trouble = error.code === 3 ? 'timeout' : 'unavailable';
    if (Date.now() - lastAt < FRESH_MS) return undefined;
    clearTimeout(complaint);
    complaint = setTimeout(() => onTrouble(trouble), PATIENCE_MS);
    return undefined;
  };

  const start = () => {
    if (!isSecureContext) return onTrouble('insecure');
    if (!('geolocation' in navigator)) return onTrouble('missing');
    timeOf = createClock();
    watch = navigator.geolocation.watchPosition(take, fail, { enableHighAccuracy: true, maximumAge: 0, timeout: TIMEOUT_MS });
    return undefined;
  };

  const stop = () => {
    clearTimeout(complaint);
    if (watch !== null) navigator.geolocation.clearWatch(watch);
    watch = null;
  };

  return { start, stop };
}

function fixOf({ coords }, at) {
  return {
    latDeg: coords.latitude,
    lonDeg: coords.longitude,
    accuracyM: coords.accuracy > 0 ? coords.accuracy : null,
    heightM: coords.altitude ?? null,
    speedMS: coords.speed ?? null,
    at,
  };
}
