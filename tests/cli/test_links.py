"""`fieldapp link`."""

import re

import pytest

MAKE = ("link", "make", "--name", "Robin", "--role", "mark")


def test_make_prints_the_link_its_code_and_what_it_is_for(fieldapp, tmp_path):
    done = fieldapp(*MAKE, "--data", tmp_path, "--address", "https://course.example/links/", "--days", 3)
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert re.fullmatch(
        r"Link for Robin, role mark, 0 of 2 devices, until .* UTC\. It is shown this once; .*", lines[0]
    )
    assert re.fullmatch(r"https://course\.example/links/enter/[\w-]{43}", lines[1])
    assert "█" in done.out
    assert "this machine only" not in done.out


def test_without_an_address_the_link_is_for_this_machine_and_says_so(fieldapp, tmp_path):
    done = fieldapp(*MAKE, "--data", tmp_path)
    assert "http://127.0.0.1:8000/enter/" in done.out
    assert "opens on this machine only" in done.out


def test_without_an_address_the_public_name_is_taken(fieldapp, tmp_path, monkeypatch):
    monkeypatch.setenv("FIELDAPP_HOSTS", "course.example")
    assert "https://course.example/enter/" in fieldapp(*MAKE, "--data", tmp_path).out


def test_list_and_end(fieldapp, tmp_path):
    fieldapp(*MAKE, "--data", tmp_path)
    fieldapp(
        "link", "make", "--name", "Early team", "--role", "mark", "--crew", "--data", tmp_path, "--devices", 5
    )
    listed = fieldapp("link", "list", "--data", tmp_path).out.splitlines()
    assert re.fullmatch(
        r"\w{8}  Link for the crew Early team, role mark, 0 of 5 devices, until it is ended", listed[0]
    )
    assert re.fullmatch(r"\w{8}  Link for Robin, role mark, 0 of 2 devices, until it is ended", listed[1])
    done = fieldapp("link", "end", listed[1][:8], "--data", tmp_path)
    assert done.out == "The link of Robin is ended, and 0 devices with it.\n"
    again = fieldapp("link", "list", "--data", tmp_path).out.splitlines()
    assert again[0] == listed[0]
    assert re.search(r"ended \d{4}-\d\d-\d\d \d\d:\d\d UTC$", again[1])


def test_a_list_of_none_says_how_to_make_one(fieldapp, folder, tmp_path):
    fieldapp("site", "load", folder, "--data", tmp_path / "data")
    assert "fieldapp link make" in fieldapp("link", "list", "--data", tmp_path / "data").out


WRONG = {
    "no verb": (("link",), "command"),
    "no name": (("link", "make", "--role", "mark", "--data", "{data}"), "--name"),
    "an empty name": (
        ("link", "make", "--name", " ", "--role", "mark", "--data", "{data}"),
        "needs the name",
    ),
    "no role": (("link", "make", "--name", "Robin", "--data", "{data}"), "--role"),
    "a role that is none": (
        ("link", "make", "--name", "Robin", "--role", "rule", "--data", "{data}"),
        "manage",
    ),
    "no data": (MAKE, "--data"),
    "no devices": ((*MAKE, "--devices", "0", "--data", "{data}"), "1 to 500"),
    "devices in words": ((*MAKE, "--devices", "two", "--data", "{data}"), "--devices"),
    "too many days": ((*MAKE, "--days", "99999999999", "--data", "{data}"), "1 to 3660"),
    "an address that is none": ((*MAKE, "--address", "course.example", "--data", "{data}"), "--address"),
    "an address of another kind": (
        (*MAKE, "--address", "ftp://course.example", "--data", "{data}"),
        "--address",
    ),
    "an address with a query": (
        (*MAKE, "--address", "https://a.example/?b", "--data", "{data}"),
        "--address",
    ),
    "an address in brackets": ((*MAKE, "--address", "https://[x/", "--data", "{data}"), "--address"),
    "a list of no data": (("link", "list", "--data", "{data}"), "no fieldapp data"),
    "an end without an id": (("link", "end", "--data", "{data}"), "ID"),
    "an end in no data": (("link", "end", "x", "--data", "{data}"), "no fieldapp data"),
}


@pytest.mark.parametrize("name", WRONG)
def test_wrong_use_is_one_clear_line_and_exit_2(fieldapp, tmp_path, name):
    arguments, word = WRONG[name]
    done = fieldapp(*(text.format(data=tmp_path / "data") for text in arguments))
    assert (done.code, done.out) == (2, ""), done.err
    (line,) = done.err.splitlines()
    assert word in line


def test_an_unknown_id_ends_nothing(fieldapp, tmp_path):
    fieldapp(*MAKE, "--data", tmp_path)
    done = fieldapp("link", "end", "none", "--data", tmp_path)
    assert (done.code, "There is no link 'none'" in done.err) == (2, True)
