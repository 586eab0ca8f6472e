// The bench: the draft as it stands with its figures, what of it is in hand, and every change to it as a step.

import { drawn } from './draft/drawn.js';

const traceOf = (outline) => drawn(outline).trace;

/**
 * A bench over a draft's steps. `figuresOf(doc, teeId)` measures a draft. `listen(heard)` is told with 'doc' where the
 * draft changed and with 'view' where only what is in hand did; `refused(words)` where an edit cannot be made.
 */
export function createBench({ history, figuresOf, teeId, mayEdit: mayEditFirst, refused }) {
  const [listeners, figured] = [[], { doc: null, teeId: null, figures: null }];
  let [steps, tee, outlineId, chosen, isDragging] = [history, teeId, history.doc.outlines[0]?.id ?? null, [], false];
  let [mayEdit, askedAt] = [mayEditFirst, null];

  const tell = (what) => listeners.forEach((heard) => heard(what));
  const outline = () => steps.doc.outlines.find(({ id }) => id === outlineId);

  const figures = () => {
    if (figured.doc !== steps.doc || figured.teeId !== tee) Object.assign(figured, { doc: steps.doc, teeId: tee, figures: figuresOf(steps.doc, tee) });
    return figured.figures;
  };

  /** What is in hand must be there: another draft may have fewer points, or outlines. */
  const settle = () => {
    if (!outline()) [outlineId, chosen] = [steps.doc.outlines[0]?.id ?? null, []];
    const count = outline()?.points.length ?? 0;
    if (chosen.some((at) => at >= count)) chosen = chosen.filter((at) => at < count);
  };

  const stepped = () => {
    settle();
    tell('doc');
  };

  const edit = (change, words, joinKey = null, over = null) => {
    if (!mayEdit) return false;
    try {
      const doc = change(steps.doc);
      if (doc === steps.doc) return false;
      steps.take(doc, words, joinKey, over);
    } catch (fault) {
      if (!(fault instanceof RangeError)) throw fault;
      refused(fault.message);
      return false;
    }
    stepped();
    return true;
  };

  const choose = (indices, more = false) => {
    chosen = more ? indices.reduce((all, at) => (all.includes(at) ? all.filter((one) => one !== at) : [...all, at]), chosen) : indices;
    tell('view');
  };

  return {
    /** What stands; its figures are worked out when they are asked for, `traceOf(outline)` gives the line of one alone. */
    state: () => ({ doc: steps.doc, get figures() { return figures(); }, traceOf, outlineId, chosen, teeId: tee, mayEdit, isDragging }),
    outline,
    edit,
    choose,
    hand: (id, indices = []) => {
      [outlineId, chosen] = [id, indices];
      tell('view');
    },
    measureFrom: (id) => {
      tee = id;
      tell('view');
    },
    /** Something is being dragged, or was let go: what need not follow waits for the end. */
    drag: (isOn) => {
      isDragging = isOn;
      tell(isOn ? 'view' : 'doc');
    },
    /** A step back; over somebody else's drawing only where it is asked for twice. */
    undo: () => {
      if (!mayEdit) return;
      const isAsked = steps.undoOver === null || askedAt === steps.doc;
      askedAt = isAsked ? null : steps.doc;
      if (!isAsked) return void refused(`Undo once more, and yours is saved over the drawing that ${steps.undoOver} made.`);
      steps.undo();
      stepped();
    },
    redo: () => {
      if (!mayEdit) return;
      steps.redo();
      stepped();
    },
    stepWords: () => ({ undo: steps.undoWords, redo: steps.redoWords }),
    save: () => steps.save(),
    restart: (other) => {
      steps = other;
      stepped();
    },
    /** Whether the draft may be changed from now on. */
    allow: (mayNow) => {
      mayEdit = mayNow;
      if (!mayNow) chosen = [];
      tell('view');
    },
    listen: (heard) => listeners.push(heard),
  };
}
