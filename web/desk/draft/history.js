// The steps of a draft: what was drawn before and after, without limit; a drag counts as one step.

const FORMAT = 'fieldapp-draft-steps';
const VERSION = 1;

/** The steps of a draft that begins as `doc`. */
export const createHistory = (doc) => historyOf([{ doc, words: '', joinKey: null, over: null }], 0);

/** The steps as they were saved; throws Error for what is none of our steps. */
export function restoreHistory(saved) {
  const isOurs = saved?.format === FORMAT && saved.version === VERSION && Array.isArray(saved.steps) && Array.isArray(saved.outlines);
  if (!isOurs || saved.steps[saved.at] === undefined) throw new Error('These are no saved steps of a draft; open the draft itself.');
  const steps = saved.steps.map(({ doc, words, joinKey, over = null }) => (
    { doc: { ...doc, outlines: doc.outlines.map((number) => saved.outlines[number]) }, words, joinKey, over }));
  return historyOf(steps, saved.at);
}

/**
 * `doc` is the draft as it stands. `take` adds a step, in words that follow 'undo' ('move point 4'), and drops what was undone;
 * with the join key of the step before it replaces that one's draft. `undo` and `redo` do nothing where there is no step.
 * `undoWords` and `redoWords` are null then. A step `over` somebody took that person's drawing: going back goes over it, and `undoOver` says whose it is. `save` gives a document for JSON, in which an outline of many steps stands once.
 */
function historyOf(steps, at) {
  let joins = false;
  const history = {
    get doc() { return steps[at].doc; },
    get undoWords() { return at === 0 ? null : steps[at].over === null ? steps[at].words : `back to mine, over ${steps[at].over}’s`; },
    get undoOver() { return at === 0 ? null : steps[at].over; },
    get redoWords() { return steps[at + 1]?.words ?? null; },
    take(doc, words, joinKey = null, over = null) {
      if (doc === steps[at].doc) return history;
      const replaces = joins && joinKey !== null && steps[at].joinKey === joinKey;
      steps.splice(replaces ? at : at + 1, Infinity, { doc, words, joinKey, over });
      at = steps.length - 1;
      joins = true;
      return history;
    },
    undo() { return goTo(at - 1); },
    redo() { return goTo(at + 1); },
    save: () => saved(steps, at),
  };
  function goTo(next) {
    joins = false;
    if (steps[next] !== undefined) at = next;
    return history;
  }
  return history;
}

function saved(steps, at) {
  const numbers = new Map();
  const numberOf = (outline) => {
    if (!numbers.has(outline)) numbers.set(outline, numbers.size);
    return numbers.get(outline);
  };
  const written = steps.map(({ doc, words, joinKey, over }) => ({ doc: { ...doc, outlines: doc.outlines.map(numberOf) }, words, joinKey, over }));
  return { format: FORMAT, version: VERSION, at, steps: written, outlines: [...numbers.keys()] };
}
