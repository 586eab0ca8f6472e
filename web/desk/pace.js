// The pace of a drag: where drawing takes long, the plan has one frame and the words of the card the next.

const LONG_MS = 3;

/** {draw(isDragging), isTaken(now)}; `plan` and `words` draw; `isTaken` says whether the frame of that moment is the words'. */
export function createPace(plan, words) {
  let [isLong, isWaiting, takenAt] = [false, false, null];
  const wordsNext = () => {
    if (isWaiting) return;
    isWaiting = true;
    requestAnimationFrame((now) => {
      [isWaiting, takenAt] = [false, now];
      words();
    });
  };
  const draw = (isDragging) => {
    const begun = performance.now();
    plan();
    if (isDragging && isLong) wordsNext();
    else words();
    isLong = performance.now() - begun > LONG_MS;
  };
  return { draw, isTaken: (now) => now === takenAt };
}
