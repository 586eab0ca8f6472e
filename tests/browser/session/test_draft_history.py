"""Steps of a draft: undone and done again without limit, a drag as one step, kept as JSON and opened again."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

PLAY = """(m, given) => {
  const points = (x) => [[x, 0.1], [1 / 3, 9], [9, 1e-7]];
  const outline = (id, x) => ({id, part: 'sand edge', curve: 'smooth', closed: true, points: points(x)});
  const doc = (x) => ({bunker: {id: 'b'}, plan: null, outlines: [outline('edge', x), still]});
  const still = outline('still', -1);
  const x = (h) => h.doc.outlines[0].points[0][0];
  return eval(given);
}"""


@pytest.fixture
def play(ask):
    return lambda words: ask("history", PLAY, words, room="desk/draft")


def test_steps_are_undone_and_done_again_without_limit(play):
    found = play(
        """(() => {
          const h = m.createHistory(doc(0));
          for (let i = 1; i <= 3000; i += 1) h.take(doc(i), `move ${i}`);
          const last = [x(h), h.undoWords, h.redoWords];
          while (h.undoWords !== null) h.undo();
          const first = [x(h), h.undoWords, h.redoWords];
          h.undo();
          while (h.redoWords !== null) h.redo();
          h.redo();
          return [last, first, [x(h), h.undoWords, h.redoWords]];
        })()"""
    )
    assert found == [[3000, "move 3000", None], [0, None, "move 1"], [3000, "move 3000", None]]


def test_a_drag_is_one_step_and_the_next_drag_another(play):
    found = play(
        """(() => {
          const h = m.createHistory(doc(0));
          for (const i of [1, 2, 3]) h.take(doc(i), 'drag', 'drag 1');
          for (const i of [4, 5]) h.take(doc(i), 'drag', 'drag 2');
          const seen = [x(h)];
          seen.push(x(h.undo()), x(h.undo()), h.undoWords, x(h.redo()));
          h.take(doc(9), 'drag', 'drag 1');
          seen.push(x(h), h.redoWords, x(h.undo()));
          return seen;
        })()"""
    )
    assert found == [5, 3, 0, None, 3, 9, None, 3]


def test_what_changes_nothing_is_no_step_and_a_new_step_drops_what_was_undone(play):
    found = play(
        """(() => {
          const h = m.createHistory(doc(0)).take(doc(1), 'one').take(doc(2), 'two').undo();
          h.take(h.doc, 'nothing');
          const kept = h.redoWords;
          h.take(doc(3), 'three');
          return [kept, h.redoWords, h.undoWords, x(h.undo()), x(h.undo())];
        })()"""
    )
    assert found == ["two", None, "three", 1, 0]


def test_saved_steps_are_restored_exactly_and_an_outline_is_written_once(play):
    found = play(
        """(() => {
          const h = m.createHistory(doc(0)).take(doc(1), 'one').take(doc(2), 'two', 'k').take(doc(3), 'three').undo();
          const saved = h.save();
          const again = m.restoreHistory(JSON.parse(JSON.stringify(saved)));
          const same = JSON.stringify(again.save()) === JSON.stringify(saved);
          const docs = JSON.stringify(again.doc) === JSON.stringify(h.doc);
          again.take(doc(8), 'eight', 'k');
          const back = [x(again), x(again.undo()), x(again.undo()), x(again.undo())];
          return [same, docs, saved.outlines.length, again.redoWords, ...back];
        })()"""
    )
    assert found == [True, True, 5, "one", 8, 2, 1, 0]


@pytest.mark.parametrize(
    "saved",
    ["null", "{}", "{format: 'fieldapp-draft', version: 1}", "{...m.createHistory(doc(0)).save(), at: 5}"],
)
def test_what_is_no_saved_history_is_refused_in_words(play, saved):
    found = play(
        f"(() => {{ try {{ m.restoreHistory({saved}); }} catch (error) {{ return error.message; }} }})()"
    )
    assert found == "These are no saved steps of a draft; open the draft itself."
