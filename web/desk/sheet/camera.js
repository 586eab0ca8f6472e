// How the sheet lies over the ground: course metres to pixels of the sheet and back. A camera is a plain frozen object.

/** A vertex of a path is seen farther than this from the one before, or where it turns the path so much: twice an area in square pixels. */
const [FAR_PX, ASIDE_PX2] = [6, 1];
const [LEAST_PX_PER_M, MOST_PX_PER_M] = [0.05, 800];

/** A camera {centre: [x, y], pxPerM, upDeg, width, height}; `upDeg` is the course bearing that points up the sheet. */
export const cameraAt = (centre, pxPerM, upDeg, width, height) => turned({ centre, pxPerM, width, height }, upDeg);

/** The same with another bearing up. */
export function turned(camera, upDeg) {
  const up = (upDeg * Math.PI) / 180;
  return Object.freeze({ ...camera, upDeg, sine: Math.sin(up), cosine: Math.cos(up) });
}

/** The same on a sheet of another size. */
export const sized = (camera, width, height) => Object.freeze({ ...camera, width, height });

/** Pixels [px, py] of a place in course metres. */
export function toSheet(camera, x, y) {
  const [dx, dy] = [x - camera.centre[0], y - camera.centre[1]];
  const [across, upward] = [dx * camera.cosine - dy * camera.sine, dx * camera.sine + dy * camera.cosine];
  return [camera.width / 2 + across * camera.pxPerM, camera.height / 2 - upward * camera.pxPerM];
}

/** Course metres [x, y] of a place in pixels. */
export function toCourse(camera, px, py) {
  const [dx, dy] = wayToCourse(camera, px - camera.width / 2, py - camera.height / 2);
  return [camera.centre[0] + dx, camera.centre[1] + dy];
}

/** A way on the sheet, pixels right and down, as a way [dx, dy] in course metres. */
export function wayToCourse(camera, right, down) {
  const [across, upward] = [right / camera.pxPerM, -down / camera.pxPerM];
  return [across * camera.cosine + upward * camera.sine, upward * camera.cosine - across * camera.sine];
}

/** The sheet pulled by so many pixels. */
export function pulled(camera, right, down) {
  const [dx, dy] = wayToCourse(camera, right, down);
  return Object.freeze({ ...camera, centre: [camera.centre[0] - dx, camera.centre[1] - dy] });
}

/** The sheet brought closer by a factor, the place under (px, py) staying where it is. */
export function closer(camera, factor, px = camera.width / 2, py = camera.height / 2) {
  const pxPerM = Math.min(MOST_PX_PER_M, Math.max(LEAST_PX_PER_M, camera.pxPerM * factor));
  const [x, y] = toCourse(camera, px, py);
  const nearer = Object.freeze({ ...camera, pxPerM });
  const [nowX, nowY] = toSheet(nearer, x, y);
  return pulled(nearer, px - nowX, py - nowY);
}

/** The sheet over all of some places [[x, y]], with a margin of so many pixels. */
export function over(camera, places, marginPx) {
  if (places.length === 0) return camera;
  const flat = places.map(([x, y]) => [x * camera.cosine - y * camera.sine, x * camera.sine + y * camera.cosine]);
  const [[left, right], [low, high]] = [0, 1].map((axis) => extent(flat.map((place) => place[axis])));
  const wide = (camera.width - 2 * marginPx) / Math.max(right - left, 1);
  const tall = (camera.height - 2 * marginPx) / Math.max(high - low, 1);
  const pxPerM = Math.min(MOST_PX_PER_M, Math.max(LEAST_PX_PER_M, Math.min(wide, tall)));
  const [across, upward] = [(left + right) / 2, (low + high) / 2];
  const centre = [across * camera.cosine + upward * camera.sine, upward * camera.cosine - across * camera.sine];
  return Object.freeze({ ...camera, centre, pxPerM });
}

const extent = (values) => values.reduce(([least, most], value) => [Math.min(least, value), Math.max(most, value)], [Infinity, -Infinity]);

/** The transform of a group drawn in metres from `origin` [x, y], x and y as on the course. */
export function groundMatrix(camera, [x, y]) {
  const [e, f] = toSheet(camera, x, y);
  const [a, b] = [camera.cosine * camera.pxPerM, camera.sine * camera.pxPerM];
  return `matrix(${a} ${-b} ${-b} ${-a} ${e} ${f})`;
}

/** An SVG path through places [[x, y]] in pixels, leaving out what lies so near to the way past it that nobody sees it. */
export function sheetPath(camera, places, closed) {
  const { centre: [cx, cy], cosine, sine, pxPerM, width, height } = camera;
  const [a, b, e, f] = [cosine * pxPerM, sine * pxPerM, width / 2, height / 2];
  const end = places.length - 1;
  const across = (at) => e + (places[at][0] - cx) * a - (places[at][1] - cy) * b;
  const down = (at) => f - (places[at][0] - cx) * b - (places[at][1] - cy) * a;
  let path = '';
  let [lastX, lastY, px, py] = [Infinity, Infinity, end < 0 ? 0 : across(0), end < 0 ? 0 : down(0)];
  for (let at = 0; at <= end; at += 1) {
    const nextX = at < end ? across(at + 1) : px;
    const nextY = at < end ? down(at + 1) : py;
    const [wayX, wayY] = [px - lastX, py - lastY];
    const isSeen = at === 0 || at === end || wayX * wayX + wayY * wayY > FAR_PX ** 2 || Math.abs(wayX * (nextY - py) - wayY * (nextX - px)) > ASIDE_PX2;
    if (isSeen) {
      path += `${at === 0 ? 'M' : 'L'}${Math.round(px * 10) / 10} ${Math.round(py * 10) / 10}`;
      lastX = px;
      lastY = py;
    }
    px = nextX;
    py = nextY;
  }
  return closed && end > 0 ? `${path}Z` : path;
}

/** The bearing on the sheet, degrees clockwise from up, of a course bearing. */
export const onSheetDeg = (camera, bearingDeg) => bearingDeg - camera.upDeg;
