// The pace of a drag: where drawing takes long, the shape has one frame, and what it measures the next.

const LONG_MS = 3;

/** {draw(isDragging), isTaken(now)}; `shape` and `measured` draw; `isTaken` says whether the frame of that moment is that of what it measures. */
export function createPace(shape, measured) {
  let [isLong, isWaiting, takenAt] = [false, false, null];
  const measuredNext = () => {
    if (isWaiting) return;
    isWaiting = true;
    requestAnimationFrame((now) => {
      [isWaiting, takenAt] = [false, now];
      measured();
    });
  };
  const draw = (isDragging) => {
    if (isDragging && isLong) {
      shape();
      measuredNext();
      return;
    }
    const begun = performance.now();
    shape();
    measured();
    isLong = performance.now() - begun > LONG_MS;
  };
  return { draw, isTaken: (now) => now === takenAt };
}
