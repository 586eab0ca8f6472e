// What a page would have sounded, said, buzzed and asked of the screen, written down instead.
(() => {
  const heard = [];
  window.__heard = heard;
  const parameter = () => ({ value: 0, setValueAtTime() {}, linearRampToValueAtTime() {} });
  const node = (more) => ({ connect: (next) => next, ...more });
  window.AudioContext = class {
    state = 'suspended';
    get currentTime() { return performance.now() / 1000; }
    destination = {};
    resume() { this.state = 'running'; heard.push({ what: 'resume' }); return Promise.resolve(); }
    createGain() { return node({ gain: parameter() }); }
    createOscillator() {
      const frequency = parameter();
      return node({ frequency, stop() {}, start: () => heard.push({ what: 'tone', hz: frequency.value, at: performance.now() }) });
    }
  };
  Navigator.prototype.vibrate = (pattern) => { heard.push({ what: 'buzz', pattern }); return true; };
  window.SpeechSynthesisUtterance = class { constructor(words) { this.words = words; } };
  const voice = { cancel() {}, speak: ({ words }) => heard.push({ what: 'say', words }) };
  Object.defineProperty(window, 'speechSynthesis', { get: () => voice });
  class Lock extends EventTarget {
    release() { this.dispatchEvent(new Event('release')); return Promise.resolve(); }
  }
  const wakeLock = {
    request: async () => { heard.push({ what: 'awake' }); window.__lock = new Lock(); return window.__lock; },
  };
  Object.defineProperty(Navigator.prototype, 'wakeLock', { get: () => wakeLock });
  window.__see = (seen) => {
    Object.defineProperty(document, 'visibilityState', { get: () => (seen ? 'visible' : 'hidden'), configurable: true });
    if (!seen) window.__lock?.release();
    document.dispatchEvent(new Event('visibilitychange'));
  };
})();
