// Beats as tones (Web Audio). A browser lets it sound only when it was started in a tap.

const LOUDNESS = 0.35;
const EDGE_S = 0.008;

/** {able, start() from a tap, set(beat | null)}; a beat is {everyMs, toneHz, lengthMs}. */
export function createSound() {
  const Context = globalThis.AudioContext ?? globalThis.webkitAudioContext;
  let context = null;
  let beat = null;
  let timer = null;
  let lastAt = -Infinity;

  const sound = () => {
    const from = context.currentTime;
    const [tone, loudness] = [context.createOscillator(), context.createGain()];
    tone.frequency.value = beat.toneHz;
    loudness.gain.setValueAtTime(0, from);
    loudness.gain.linearRampToValueAtTime(LOUDNESS, from + EDGE_S);
    loudness.gain.linearRampToValueAtTime(0, from + beat.lengthMs / 1000);
    tone.connect(loudness).connect(context.destination);
    tone.start(from);
    tone.stop(from + beat.lengthMs / 1000 + EDGE_S);
  };

  /** Sound when the time since the last beat is up, and see again then: so a quicker beat need not wait for the slow one. */
  const turn = () => {
    clearTimeout(timer);
    timer = null;
    if (beat === null || context === null) return;
    const left = lastAt + beat.everyMs - performance.now();
    if (left <= 0 && context.state === 'running' && document.visibilityState === 'visible') {
      sound();
      lastAt = performance.now();
    }
    timer = setTimeout(turn, left > 0 ? left : beat.everyMs);
  };

  return {
    able: Context !== undefined,
    start: () => {
      if (Context === undefined) return;
      context ??= new Context();
      context.resume?.().catch(() => {});
    },
    set: (next) => {
      const changed = next?.everyMs !== beat?.everyMs || next?.toneHz !== beat?.toneHz;
      beat = next;
      if (changed) turn();
    },
  };
}
