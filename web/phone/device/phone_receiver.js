// The phone's own receiver, by the browser's watch. Position errors are said in one word; wording is done elsewhere.

const FRESH_MS = 3000;
const PATIENCE_MS = 1500;
const TIMEOUT_MS = 20000;
const OLDEST_BELIEVED_MS = 60000;

/** A receiver: start() and stop(); `onFix(fix)` and `onTrouble('insecure' | 'refused' | 'unavailable' | 'timeout' | 'missing')`. */
export function createPhoneReceiver({ onFix, onTrouble }) {
  let watch = null;
  let lastAt = 0;
  let complaint = null;

  const take = (position) => {
    clearTimeout(complaint);
    lastAt = Date.now();
    onFix(fixOf(position, lastAt));
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

/** A fix as it came. A time of its own is believed when it is a little way back; otherwise the fix is as old as its arrival. */
function fixOf({ coords, timestamp }, arrivedAt) {
  const lag = arrivedAt - timestamp;
  return {
    latDeg: coords.latitude,
    lonDeg: coords.longitude,
    accuracyM: coords.accuracy > 0 ? coords.accuracy : null,
    heightM: coords.altitude ?? null,
    at: lag > 0 && lag < OLDEST_BELIEVED_MS ? arrivedAt - lag : arrivedAt,
  };
}
