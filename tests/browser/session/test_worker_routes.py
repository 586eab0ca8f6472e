"""What the worker takes and what it has sent past it, under whatever path the pages lie."""

import pytest

from tests.browser.session.conftest import ORIGIN

pytestmark = pytest.mark.browser

OWN = ("/s/0/script/field.js", "/sites/s/set-out/b", "/sites/s/pegs/b", "/sites/s/places", "/field/s")
ELSE = ("/sites/s", "/api/clock", "/sw.js")
SOURCES = """async ({worker, under, paths}) => {
  const root = under && new URL(under, location).pathname;
  const heard = {};
  const own = {
    KEPT: { release: 'r', files: [], shells: {} }, location: { pathname: `${root}/sw.js` },
    addEventListener: (what, follow) => { heard[what] = follow; },
  };
  new Function('self', await (await fetch(worker)).text())(own);
  let rules = null;
  heard.install({ addRoutes: async (asked) => { rules = asked; }, waitUntil: (kept) => kept.catch(() => {}) });
  const read = rules.map(({ condition, source }) => ({ pattern: new URLPattern(condition.urlPattern), source }));
  return paths.map((path) => read.find(({ pattern }) => pattern.test(new URL(root + path, location))).source);
}"""


@pytest.mark.parametrize("root", ["", "/course", "/a+b", "/a:8/b", "/(x)", "/a*", "/{a}", "/é b"])
def test_the_pages_that_are_kept_come_to_the_worker_and_nothing_else_does(blank, root):
    given = {"worker": f"{ORIGIN}/phone/sw.js", "under": root, "paths": [*OWN, *ELSE]}
    sources = blank.evaluate(SOURCES, given)
    assert sources == ["fetch-event"] * len(OWN) + ["network"] * len(ELSE)
