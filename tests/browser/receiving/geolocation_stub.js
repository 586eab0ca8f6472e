// A receiver a test has in its hands: every field of a fix, errors, and a row of fixes played at a pace. It works with
// playwright's clock, which the browser's own watch does not.
(() => {
  const watches = new Map();
  let next = 1;
  const geo = {
    watchPosition: (take, fail) => { watches.set(next, { take, fail }); next += 1; return next - 1; },
    clearWatch: (id) => watches.delete(id),
    getCurrentPosition: () => {},
  };
  Object.defineProperty(Navigator.prototype, 'geolocation', { get: () => geo, configurable: true });
  const fix = ({ lat, lon, acc, alt = null, speed = null, at = Date.now() }) => {
    const coords = { latitude: lat, longitude: lon, accuracy: acc, altitude: alt, altitudeAccuracy: null, heading: null, speed };
    watches.forEach(({ take }) => take({ coords, timestamp: at }));
  };
  const play = (fixes, everyMs) => {
    const left = [...fixes];
    const timer = setInterval(() => (left.length ? fix(left.shift()) : clearInterval(timer)), everyMs);
  };
  const error = (code, message = '') => watches.forEach(({ fail }) => fail({ code, message }));
  window.__geo = { fix, play, error };
})();
