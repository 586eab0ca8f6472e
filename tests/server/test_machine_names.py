"""Names and addresses by which phones may reach this machine."""

import socket
from ipaddress import ip_address
from pathlib import Path

import pytest

from fieldapp.errors import InputError
from fieldapp.server.machine_names import Names, found_names, read_names
from fieldapp.settings import Settings


def test_names_and_addresses_are_told_apart_and_kept_once():
    found = read_names(["Course.LAN", "192.168.1.50", "[2001:db8::5]", "course.lan.", "2001:db8::5"])
    assert found == Names(("course.lan",), (ip_address("192.168.1.50"), ip_address("2001:db8::5")))


def test_a_name_of_another_script_is_written_as_certificates_have_it():
    assert read_names(["vindelöga.lan"]).dns == ("xn--vindelga-s4a.lan",)


@pytest.mark.parametrize(
    "text",
    [
        "",
        ".",
        "*.lan",
        "dev",
        "a b.lan",
        "-a.lan",
        "a..lan",
        "http://course.lan",
        "course.lan:8000",
        "1.2.3",
        "a." * 130,
    ],
)
def test_what_cannot_stand_in_a_certificate_is_refused_in_words(text):
    with pytest.raises(InputError, match="give a full host name with a dot"):
        read_names([text])


@pytest.mark.parametrize(
    ("called", "dns"),
    [
        ("Shed", ("shed.local", "localhost")),
        ("shed.club.lan", ("shed.club.lan", "shed.local", "localhost")),
        ("under_score", ("localhost",)),
    ],
)
def test_a_machine_called_by_a_single_word_goes_by_its_local_name(monkeypatch, called, dns):
    monkeypatch.setattr(socket, "gethostname", lambda: called)
    assert found_names(Settings(Path("data"))).dns == dns


def test_an_address_listened_at_is_named_too():
    found = found_names(Settings(Path("data"), host="192.168.7.7"))
    assert ip_address("192.168.7.7") in found.addresses
    assert ip_address("0.0.0.0") not in found_names(Settings(Path("data"), host="0.0.0.0")).addresses
