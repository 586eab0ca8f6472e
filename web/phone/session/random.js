// A repeatable source of random numbers: the same start gives the same row of numbers on every phone.

const SCRAMBLE = 0x9e3779b9;

/** Uniform numbers in (0, 1) by the xorshift generator with shifts 13, 17, 5 (Marsaglia 2003, J. Stat. Softw. 8(14)). */
export function createUniform(start) {
  let state = (Math.imul(start | 0, SCRAMBLE) ^ SCRAMBLE) | 0 || 1;
  const next = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return ((state >>> 0) + 0.5) / 4294967296;
  };
  for (let i = 0; i < 16; i += 1) next();
  return next;
}

/** Standard normal numbers, two from each pair of uniform ones (Box and Muller 1958). */
export function createNormal(start) {
  const uniform = createUniform(start);
  let held = null;
  return () => {
    if (held !== null) {
      const value = held;
      held = null;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(uniform()));
    const angle = 2 * Math.PI * uniform();
    held = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}
