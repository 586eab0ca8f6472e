// Critical values of the chi-square distribution, and what a test can see. Twin of fieldapp/tape/chi_square.py.

const HALVINGS = 60;
const MOST_TERMS = 2000;
const LARGEST_NONCENTRALITY = 1e4;

/** The value that a chi-square of `dof` degrees of freedom exceeds with probability `significance`; 0 for none. */
export function critical(dof, significance) {
  if (dof <= 0) return 0;
  return crossing((x) => 1 - below(dof / 2, x / 2) - significance, dof + 40 + 20 * Math.sqrt(2 * dof));
}

/** The noncentrality that a test at this significance notices with probability `power`. */
export function seenNoncentrality(dof, significance, power) {
  const x = critical(dof, significance) / 2;
  return crossing((noncentrality) => belowNoncentral(dof, noncentrality, x) - (1 - power), LARGEST_NONCENTRALITY);
}

/** Where a falling function goes through 0, between 0 and `high`. */
function crossing(falling, high) {
  let [low, top] = [0, high];
  for (let i = 0; i < HALVINGS; i += 1) {
    const middle = (low + top) / 2;
    if (falling(middle) > 0) low = middle;
    else top = middle;
  }
  return (low + top) / 2;
}

/** The regularised incomplete gamma function P(a, x) of a whole or half a, by its series. */
function below(a, x) {
  if (x <= 0) return 0;
  let [term, sum] = [1, 1];
  for (let n = 1; n < MOST_TERMS && term > 1e-18 * sum; n += 1) {
    term *= x / (a + n);
    sum += term;
  }
  return front(a, x) * sum;
}

const front = (a, x) => Math.exp(a * Math.log(x) - x - logGamma(a + 1));

/** The probability that a noncentral chi-square stays below 2x: a Poisson mixture of central ones. */
function belowNoncentral(dof, noncentrality, x) {
  const a = dof / 2;
  let [weight, sum, left] = [Math.exp(-noncentrality / 2), 0, 1];
  let [part, less] = [below(a, x), front(a, x)];
  for (let j = 0; j < MOST_TERMS && left > 1e-16 && part > 1e-18; j += 1) {
    sum += weight * part;
    left -= weight;
    part -= less;
    less *= x / (a + j + 1);
    weight *= noncentrality / 2 / (j + 1);
  }
  return sum;
}

/** The logarithm of the gamma function of a whole or half number above 0. */
function logGamma(a) {
  let [at, sum] = [a, 0];
  while (at > 1) {
    at -= 1;
    sum += Math.log(at);
  }
  return at === 1 ? sum : sum + Math.log(Math.PI) / 2;
}
