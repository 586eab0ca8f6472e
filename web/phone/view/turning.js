// Between the course and the screen: the frame's bearing points up, its middle is the picture's middle.
// A view is {frame: {x, y, upDeg, scale (pixels a metre)}, width, height}; the plate at the foot is no part of it.

/** Where a place on the course lies in the picture, [px, py]. */
export function onScreen({ frame, width, height }, x, y) {
  const { sin, cos } = turnOf(frame);
  const [dx, dy] = [(x - frame.x) * frame.scale, (y - frame.y) * frame.scale];
  return [width / 2 + dx * cos - dy * sin, height / 2 - dx * sin - dy * cos];
}

/** A step in pixels, right and down, as a step {dx, dy} on the course. */
export function stepOnCourse(frame, rightPx, downPx) {
  const { sin, cos } = turnOf(frame);
  return { dx: (rightPx * cos - downPx * sin) / frame.scale, dy: (-rightPx * sin - downPx * cos) / frame.scale };
}

/** The place on the course {x, y} under a spot in the picture. */
export function onCourse({ frame, width, height }, px, py) {
  const { dx, dy } = stepOnCourse(frame, px - width / 2, py - height / 2);
  return { x: frame.x + dx, y: frame.y + dy };
}

/** The SVG transform that draws course metres, counted from `origin` {x, y}, in the picture. */
export function courseTransform(view, origin) {
  const { sin, cos } = turnOf(view.frame);
  const [a, b] = [cos * view.frame.scale, -sin * view.frame.scale];
  return `matrix(${a} ${b} ${b} ${-a} ${onScreen(view, origin.x, origin.y).join(' ')})`;
}

function turnOf({ upDeg }) {
  const radians = (upDeg * Math.PI) / 180;
  return { sin: Math.sin(radians), cos: Math.cos(radians) };
}
