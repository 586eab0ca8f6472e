// Small matrices, as lists of rows.

const MOST_SWEEPS = 60;
/** A pivot of less than this part of its diagonal is no pivot: the directions are then told apart by eigenvalues. */
const LEAST_PIVOT = 1e-8;

export const transpose = (a) => (a.length === 0 ? [] : a[0].map((_, j) => a.map((row) => row[j])));

export const dot = (u, v) => u.reduce((sum, x, i) => sum + x * v[i], 0);

export const times = (a, v) => a.map((row) => dot(row, v));

/** The product of two matrices. */
export function product(a, b) {
  const columns = transpose(b);
  return a.map((row) => columns.map((column) => dot(row, column)));
}

export const identity = (n) => Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => Number(i === j)));

/** The eigenvalues of a symmetric matrix, rising, and the vector of each as a row: {values, vectors}; Jacobi's rotations. */
export function eigen(symmetric) {
  const [a, v] = [symmetric.map((row) => [...row]), identity(symmetric.length)];
  for (let sweep = 0; sweep < MOST_SWEEPS && rotateAll(a, v); sweep += 1);
  const order = a.map((_, i) => i).sort((i, j) => a[i][i] - a[j][j]);
  return { values: order.map((i) => a[i][i]), vectors: order.map((i) => v[i]) };
}

/** Turn every pair of axes once; whether any needed it. */
function rotateAll(a, v) {
  let turned = false;
  for (let p = 0; p < a.length; p += 1) {
    for (let q = p + 1; q < a.length; q += 1) {
      if (Math.abs(a[p][q]) > 1e-17 * Math.sqrt(Math.abs(a[p][p] * a[q][q])) && Math.abs(a[p][q]) > 1e-300) {
        turned = true;
        rotate(a, v, p, q);
      }
    }
  }
  return turned;
}

function rotate(a, v, p, q) {
  const theta = (a[q][q] - a[p][p]) / (2 * a[p][q]);
  const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < a.length; k += 1) [a[k][p], a[k][q]] = [c * a[k][p] - s * a[k][q], s * a[k][p] + c * a[k][q]];
  turnRows(a, p, q, c, s);
  turnRows(v, p, q, c, s);
  a[p][q] = 0;
  a[q][p] = 0;
}

function turnRows(a, p, q, c, s) {
  const [rowP, rowQ] = [a[p], a[q]];
  a[p] = rowP.map((x, k) => c * x - s * rowQ[k]);
  a[q] = rowP.map((x, k) => s * x + c * rowQ[k]);
}

/** The inverse of a symmetric matrix over the directions whose eigenvalue is more than `least` of the greatest: {inverse, null}. */
export function inverseOver(symmetric, least) {
  const half = halfInverse(symmetric);
  if (half !== null) return { inverse: product(transpose(half), half), null: [] };
  const { values, vectors } = eigen(symmetric);
  const limit = least * Math.max(0, ...values.map(Math.abs));
  const kept = values.map((value) => value > limit);
  const scaled = vectors.map((vector, i) => vector.map((x) => (kept[i] ? x / values[i] : 0)));
  const inverse = symmetric.map((_, i) => symmetric.map((__, j) => vectors.reduce((sum, vector, k) => sum + scaled[k][i] * vector[j], 0)));
  return { inverse, null: vectors.filter((_, i) => !kept[i]) };
}

/** The inverse of the lower half that a symmetric matrix is the square of (Cholesky); null where it is singular, or nearly. */
function halfInverse(symmetric) {
  const [half, inverse] = [[], []];
  for (let i = 0; i < symmetric.length; i += 1) {
    half.push([]);
    for (let j = 0; j < i; j += 1) half[i].push((symmetric[i][j] - dotTo(half[i], half[j], j)) / half[j][j]);
    const pivot = symmetric[i][i] - dotTo(half[i], half[i], i);
    if (!(pivot > LEAST_PIVOT * symmetric[i][i])) return null;
    half[i].push(Math.sqrt(pivot));
    inverse.push(symmetric.map((_, k) => (Number(i === k) - half[i].slice(0, i).reduce((sum, x, j) => sum + x * inverse[j][k], 0)) / half[i][i]));
  }
  return inverse;
}

function dotTo(u, v, count) {
  let sum = 0;
  for (let k = 0; k < count; k += 1) sum += u[k] * v[k];
  return sum;
}
