// The crew's tape, as the site's plan says.

const DEFAULT_TAPE = { length_m: 30, error_m: 0.01 };

/** The tape {lengthM, errorM}, ground metres; a plan kept by an older release has none. */
export function tapeOf({ bundle }) {
  const { length_m: lengthM, error_m: errorM } = bundle.tape ?? DEFAULT_TAPE;
  return { lengthM, errorM };
}
