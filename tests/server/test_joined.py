"""A page's modules as one file."""

import re
from pathlib import Path

import pytest

from fieldapp.errors import FormatError
from fieldapp.server.joined import join_modules

PHONE = Path(__file__).parents[2] / "web" / "phone"
MODULE = re.compile(r"^// (\S+\.js)$", re.MULTILINE)
FROM = re.compile(r"\bfrom '([^']+)'")


def join(entry="main.js", **modules):
    texts = {f"{name}.js": text for name, text in modules.items()}
    return join_modules(entry, texts.__getitem__)


def test_each_module_comes_once_and_after_all_that_it_needs():
    joined = join(
        main="import { a } from './one.js';\nimport * as two from './two.js';\nconsole.log(a, two.b);\n",
        one="import { b } from './two.js';\nexport const a = b + 1;\n",
        two="export const b = 1;\n",
    )
    assert MODULE.findall(joined) == ["two.js", "one.js", "main.js"]
    assert "return { b };" in joined
    assert "const { b } = m0;" in joined
    assert "const two = m0;" in joined


def test_an_import_over_several_lines_and_under_another_name_is_known():
    joined = join(
        main="import {\n  a as first, b,\n} from './one.js';\nfirst(b);\n",
        one="export async function a() {}\nexport class b {}\n",
    )
    assert "const { a: first, b } = m0;" in joined
    assert "return { a, b };" in joined


STRANGE = [
    "export default 1;",
    "export let a = 1;",
    "export { a };",
    "import a from './one.js';",
    "await fetch('x');",
    "const late = () => import('./one.js');",
    "const here = import.meta.url;",
]


@pytest.mark.parametrize("line", STRANGE)
def test_what_it_does_not_know_is_refused_by_name(line):
    with pytest.raises(FormatError, match=r"main\.js cannot be joined"):
        join(main=f"{line}\n", one="")


def test_words_in_a_comment_are_no_import():
    joined = join(main="// one may import (or not)\nconst a = 1; // import it\n")
    assert "one may import" not in joined, "what fills lines of its own is left behind"
    assert "const a = 1; // import it" in joined


def test_a_name_that_is_not_exported_is_refused():
    with pytest.raises(FormatError, match=r"main\.js imports b from one\.js"):
        join(main="import { b } from './one.js';\n", one="export const a = 1;\n")


def test_a_ring_is_refused():
    with pytest.raises(FormatError, match="ring"):
        join(
            main="import { a } from './one.js';\n",
            one="import { b } from './main.js';\nexport const a = 1;\n",
        )


@pytest.mark.parametrize("entry", ["main.js", "field.js"])
def test_the_phones_own_modules_are_all_in_it(entry):
    def reached(name, found):
        if name not in found:
            found.add(name)
            module = PHONE / name
            for path in FROM.findall(module.read_text(encoding="utf-8")):
                reached((module.parent / path).resolve().relative_to(PHONE).as_posix(), found)
        return found

    joined = join_modules(entry, lambda name: (PHONE / name).read_text(encoding="utf-8"))
    assert len(MODULE.findall(joined)) > 20
    assert set(MODULE.findall(joined)) >= reached(entry, set())
