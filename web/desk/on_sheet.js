// Places on a drawing.

/** Where a pointer is on a drawing, in its own units, kept within it. */
export function placeOn(svg, event) {
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const [, , width, height] = svg.getAttribute('viewBox').split(' ').map(Number);
  return { x: Math.min(Math.max(x, 0), width), y: Math.min(Math.max(y, 0), height) };
}
