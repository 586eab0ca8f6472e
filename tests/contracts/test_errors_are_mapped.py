"""Every refusal has its HTTP status, decided in one place."""

import re
from pathlib import Path

import pytest

import fieldapp
from fieldapp.errors import FieldappError
from fieldapp.server.problems import STATUS


def family(kind):
    return [kind, *(member for child in kind.__subclasses__() for member in family(child))]


@pytest.mark.parametrize("kind", family(FieldappError), ids=lambda kind: kind.__name__)
def test_every_error_class_has_a_status_and_a_title_of_its_own(kind):
    assert 400 <= STATUS[kind] < 600
    assert "title" in vars(kind)


def test_the_status_table_names_no_class_that_is_gone():
    assert set(STATUS) == set(family(FieldappError))


def test_the_tree_drawn_in_the_docstring_is_the_tree():
    import fieldapp.errors

    drawn = re.findall(r"^\s*[│├└─ ]*(\w+)\s{2,}", fieldapp.errors.__doc__ or "", re.MULTILINE)
    assert set(drawn) == {kind.__name__ for kind in family(FieldappError)}


def test_no_module_below_the_server_knows_a_status_code():
    package = Path(fieldapp.__file__).parent
    for module in package.rglob("*.py"):
        if "server" not in module.parts:
            assert not re.search(
                r"status_code|HTTPStatus|HTTPException", module.read_text(encoding="utf-8")
            ), module
