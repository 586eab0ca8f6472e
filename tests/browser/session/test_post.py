"""The post of a draft: it is tried again where the server cannot take it, and meets no drawing of its own."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

RUN = """async (_, body) => {
  const frame = document.body.appendChild(document.createElement('iframe'));
  frame.src = '/blank';
  await new Promise((done) => { frame.onload = done; });
  const page = frame.contentWindow;
  const later = page.setTimeout;
  page.setTimeout = (work, ms, ...given) => later(work, ms / 100, ...given);
  const [asked, answers, signs, met, kept] = [[], [], [], [], []];
  page.fetch = (address, { body, headers }) => new Promise((resolve) => {
    asked.push([headers['if-match'], JSON.parse(body).draft.note]);
    answers.push((status, said = {}) => resolve(new page.Response(JSON.stringify(said), { status, headers: said.number ? { etag: `"${said.number}"` } : {} })));
  });
  const drawn = (note) => ({ outlines: [{}], note });
  const board = { doc: drawn('first') };
  const { createPost } = await page.eval("import('/desk/post/post.js')");
  const post = createPost({
    address: '/draft', first: { number: 4, isSent: true, isResting: false }, doc: () => board.doc, steps: () => [], person: () => 'Robin',
    keep: async (one) => { kept.push(one); return true; },
    sign: (what) => signs.push(what), met: (theirs) => met.push(theirs),
  });
  const draw = (note) => { board.doc = drawn(note); post.changed(); };
  const until = async (isSo) => {
    for (let turn = 0; turn < 500 && !isSo(); turn += 1) await new Promise((done) => setTimeout(done, 4));
    if (!isSo()) throw new Error(`Waited for ${isSo} in vain: ${JSON.stringify({ asked, signs })}`);
  };
  const put = (count) => until(() => asked.length === count);
  const said = (what) => until(() => signs.at(-1) === what);
  const pause = (ms) => new Promise((done) => setTimeout(done, ms));
  await eval(body)({ post, board, draw, drawn, put, said, until, answers, pause, signs, kept, met });
  post.stop();
  frame.remove();
  return { asked, signs, met, kept };
}"""  # noqa: E501


def told(ask, body):
    parts = "{ post, board, draw, drawn, put, said, until, answers, pause, signs, kept, met }"
    return ask("server", RUN, f"async ({parts}) => {{ {body} }}", room="desk/post")


@pytest.mark.parametrize("status", [408, 429, 500, 502, 503, 507])
def test_what_the_server_cannot_take_just_now_is_tried_again_by_itself(ask, status):
    found = told(
        ask,
        f"""draw('second'); await put(1); answers[0]({status}); await said('away');
        await put(2); answers[1](200, {{ number: 5 }}); await said('saved');""",
    )
    assert found["asked"] == [['"4"', "second"]] * 2
    assert "refused" not in found["signs"]


def test_what_the_server_refuses_for_what_it_is_waits_for_the_next_change(ask):
    found = told(
        ask,
        """draw('second'); await put(1); answers[0](422, { detail: 'No.' }); await said('refused');
        await pause(120);
        draw('third'); await put(2); answers[1](200, { number: 5 }); await said('saved');""",
    )
    assert found["asked"] == [['"4"', "second"], ['"4"', "third"]]


OWN = "{ number: 5, state: 'open', draft: drawn('second') }"


def test_a_drawing_of_ones_own_that_arrived_unheard_is_gone_on_from(ask):
    found = told(
        ask,
        f"""draw('second'); await put(1); answers[0](503); await said('away');
        draw('third'); await put(2); answers[1](412, {OWN});
        await put(3); answers[2](200, {{ number: 6 }}); await said('saved');""",
    )
    assert found["asked"] == [['"4"', "second"], ['"4"', "third"], ['"5"', "third"]]
    assert found["met"] == []
    assert found["kept"][-1] == {"number": 6, "steps": [], "isSent": True, "unsure": []}


def test_another_tab_knows_what_the_one_before_it_was_still_sending(ask):
    found = told(
        ask,
        f"""draw('second'); await put(1); draw('third'); await post.rest();
        const left = kept.at(-1);
        answers[0](200, {{ number: 5 }}); await pause(20);
        if (kept.at(-1) !== left || signs.includes('saved')) throw new Error('a tab that rests went on');
        post.resume(structuredClone(left)); await put(2);
        draw('fourth'); answers[1](412, {OWN});
        await put(3); answers[2](200, {{ number: 6 }}); await said('saved');""",
    )
    assert found["asked"] == [['"4"', "second"], ['"4"', "third"], ['"5"', "fourth"]]
    assert found["met"] == []


def test_what_comes_late_of_a_turn_before_does_not_go_before_what_is_found(ask):
    found = told(
        ask,
        """draw('second'); await put(1); await post.rest();
        board.doc = drawn('of the other tab'); post.resume({ number: 9, isSent: true });
        answers[0](200, { number: 5 }); await pause(20);
        draw('third'); await put(2);""",
    )
    assert found["asked"] == [['"4"', "second"], ['"9"', "third"]]


@pytest.mark.parametrize(
    "theirs", ["state: 'open', draft: drawn('of another')", "state: 'issued', draft: drawn('second')"]
)
def test_what_others_did_is_met_as_before(ask, theirs):
    found = told(
        ask,
        f"""draw('second'); await put(1); answers[0](503); await said('away');
        draw('third'); await put(2); answers[1](412, {{ number: 5, {theirs} }});
        await until(() => met.length === 1); await pause(120);""",
    )
    assert len(found["asked"]) == 2
    assert found["met"][0]["number"] == 5
