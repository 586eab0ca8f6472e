// Mouse, pen and fingers on the sheet. What a press takes hold of is told by `press`; here is who holds what, and for how long.

const [TAP_PX, WHEEL_SHARE] = [5, 0.0016];

/**
 * `press({px, py, kind, isMore})` gives what is held, {move(px, py), end(isTap)}; `pull(right, down)` moves the sheet and
 * `zoom(factor, px, py)` brings it closer, for two fingers and the wheel. Moves are told once a frame, but in none that `isTaken(now)` by something else.
 */
export function createPointing(node, { press, pull, zoom, isTaken = () => false }) {
  const down = new Map();
  let [held, frame, isTap, pinch] = [null, 0, true, null];

  let box = node.getBoundingClientRect();
  const placeOf = (event) => ({ px: event.clientX - box.left, py: event.clientY - box.top });

  const letGo = (wasTap) => {
    flush();
    held?.end(wasTap);
    held = null;
  };

  const flush = () => {
    if (frame !== 0) cancelAnimationFrame(frame);
    frame = 0;
    if (pinch) return movePinch();
    const [at] = down.values();
    if (held && at?.isMoved) {
      at.isMoved = false;
      held.move(at.px, at.py);
    }
    return undefined;
  };

  const onFrame = (now) => {
    frame = isTaken(now) ? requestAnimationFrame(onFrame) : 0;
    if (frame === 0) flush();
  };

  const movePinch = () => {
    const now = spanOf(down);
    pull(now.px - pinch.px, now.py - pinch.py);
    if (pinch.apart > 0 && now.apart > 0) zoom(now.apart / pinch.apart, now.px, now.py);
    pinch = now;
  };

  node.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    node.setPointerCapture(event.pointerId);
    box = node.getBoundingClientRect();
    const at = placeOf(event);
    down.set(event.pointerId, { ...at, fromX: at.px, fromY: at.py });
    if (down.size === 2) {
      letGo(false);
      pinch = spanOf(down);
    } else if (down.size === 1) {
      isTap = true;
      held = press({ ...at, kind: event.pointerType, isMore: event.shiftKey });
    }
  });

  node.addEventListener('pointermove', (event) => {
    const known = down.get(event.pointerId);
    if (!known) return;
    const at = placeOf(event);
    if (isTap && Math.hypot(at.px - known.fromX, at.py - known.fromY) < TAP_PX) return;
    isTap = false;
    Object.assign(known, at, { isMoved: true });
    if (frame === 0) frame = requestAnimationFrame(onFrame);
  });

  const lift = (event) => {
    if (!down.has(event.pointerId)) return;
    if (pinch) flush();
    else letGo(isTap && event.type === 'pointerup');
    down.delete(event.pointerId);
    if (down.size < 2) pinch = null;
  };
  node.addEventListener('pointerup', lift);
  node.addEventListener('pointercancel', lift);

  node.addEventListener('wheel', (event) => {
    event.preventDefault();
    box = node.getBoundingClientRect();
    const { px, py } = placeOf(event);
    const lines = event.deltaMode === 1 ? 16 : 1;
    zoom(Math.exp(-event.deltaY * lines * WHEEL_SHARE), px, py);
  }, { passive: false });
}

/** What a press holds that pulls the sheet; `tap` is called where it was only pressed. */
export function pulling(look, { px, py }, tap) {
  let [lastX, lastY] = [px, py];
  return {
    move: (x, y) => {
      look.pull(x - lastX, y - lastY);
      [lastX, lastY] = [x, y];
    },
    end: (isTap) => { if (isTap) tap?.(); },
  };
}

/** The middle between two pointers, and how far they are apart. */
function spanOf(down) {
  const [one, other] = [...down.values()];
  return { px: (one.px + other.px) / 2, py: (one.py + other.py) / 2, apart: Math.hypot(one.px - other.px, one.py - other.py) };
}
