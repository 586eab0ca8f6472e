// A receiver to practise with. Where the worker truly stands is known only in here; what goes out is that place plus an
// error, as a real receiver would give it. It is steered by hand, or walks by itself after its own figures.

const TICK_MS = 250;
const WALK_M_PER_S = 1.3;
const SLOW_WITHIN_M = 1.5;
const ARRIVED_M = 0.015;

/** A practice receiver starting at {x, y}; `error.step(seconds)` gives [east, north] in metres, `frame` turns places into positions. */
export function createPracticeReceiver({ frame, start: startAt, accuracyM, error, onFix }) {
  let truth = { ...startAt };
  let left = null;
  let shown = null;
  let goal = null;
  let walking = false;
  let timer = null;

  const tick = () => {
    if (walking && goal && shown && left === null) walkOn(TICK_MS / 1000);
    report(TICK_MS / 1000);
  };

  const walkOn = (seconds) => {
    const [dx, dy] = [goal.x - shown.x, goal.y - shown.y];
    const left = Math.sqrt(dx * dx + dy * dy);
    if (left < ARRIVED_M) return;
    const pace = WALK_M_PER_S * Math.min(1, Math.max(0.15, left / SLOW_WITHIN_M));
    const part = Math.min(1, (pace * seconds) / left);
    truth = { x: truth.x + dx * part, y: truth.y + dy * part };
  };

  const report = (seconds) => {
    const [east, north] = error.step(seconds);
    shown = { x: truth.x + east, y: truth.y + north };
    const [latDeg, lonDeg] = frame.toGnss(shown.x, shown.y);
    onFix({ latDeg, lonDeg, accuracyM, heightM: null, at: Date.now() });
  };

  return {
    start: () => { report(TICK_MS / 1000); timer = setInterval(tick, TICK_MS); },
    stop: () => clearInterval(timer),
    steer: (dx, dy) => { truth = { x: truth.x + dx, y: truth.y + dy }; report(0); },
    leadTo: (place) => { goal = place; },
    /** Stand on a place for a while, such as a peg; then go back to where one was. */
    visit: (place) => { left ??= truth; truth = { x: place.x, y: place.y }; },
    goBack: () => { truth = left ?? truth; left = null; },
    walkByItself: (on) => { walking = on; },
  };
}
