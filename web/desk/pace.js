// The pace of a drag: where drawing takes long each part of it has a frame of its own, one after the other.

const LONG_MS = 3;

/** {draw(isDragging), isTaken(now)}; `parts` draw, the first what follows the finger; `isTaken` says whether the frame of that moment is that of a later part. */
export function createPace([first, ...later]) {
  let [isLong, waiting, takenAt] = [false, [], null];
  const next = (now) => {
    takenAt = now;
    waiting.shift()();
    if (waiting.length > 0) requestAnimationFrame(next);
  };
  const draw = (isDragging) => {
    if (isDragging && isLong) {
      first();
      if (waiting.length === 0) requestAnimationFrame(next);
      waiting = [...later];
      return;
    }
    const begun = performance.now();
    [first, ...later].forEach((part) => part());
    isLong = performance.now() - begun > LONG_MS;
  };
  return { draw, isTaken: (now) => now === takenAt };
}
