"""`fieldapp serve --https` as a real process: what it prints, what it serves by which port, and how it refuses."""

import re
import signal
import socket
import ssl
from pathlib import Path

import httpx
import pytest

FOLDER = "https"


def https_of(server):
    return re.search(r"fieldapp is at (https://\S+)/", "".join(server.lines)).group(1)


def plain_of(server):
    return re.search(r"open this page and follow it: (http://\S+)/trust", "".join(server.lines)).group(1)


@pytest.fixture
def secure(branched, data):
    """Starts a server with https of its own on free ports."""

    def start(*options, host="127.0.0.1", how=branched, **environment):
        found = ("--https", "--data", data, "--port", 0, "--host", host)
        return how("serve", *found, *options, **environment)

    return start


def phone_of(server):
    """A phone that fetched the authority by plain http and trusts it."""
    authority = httpx.get(f"{plain_of(server)}/trust/authority.crt").content
    return httpx.Client(verify=ssl.create_default_context(cadata=authority), follow_redirects=True)


def test_a_phone_that_trusts_the_authority_reaches_everything_by_https(secure):
    server = secure()
    with phone_of(server) as phone:
        for https in (https_of(server), https_of(server).replace("127.0.0.1", "localhost")):
            assert "Trust this machine" in phone.get(f"{https}/trust").text
        assert phone.get(f"{https_of(server)}/problems/input-error").status_code == 200


def test_a_phone_that_does_not_trust_it_reaches_nothing(secure):
    server = secure()
    with pytest.raises(httpx.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
        httpx.get(f"{https_of(server)}/trust")


def test_it_prints_the_fingerprint_that_the_page_shows_and_both_codes(secure):
    server = secure()
    page = httpx.get(f"{plain_of(server)}/trust").text
    code, printed = server.stop()
    shown = re.sub(r"<[^>]+>|\s", "", re.search(r'<code class="fingerprint">(.*?)</code>', page).group(1))
    assert shown in printed.replace(":", "")
    first, then = (printed.index(words) for words in ("1. Once on each phone", "2. After that"))
    assert "█" in printed[first:then]
    assert "█" in printed[then:]
    assert "Only this machine can reach it" in printed
    assert (code, "Traceback" in printed) == (0, False)


def test_plain_http_carries_nothing_but_the_way_to_trust(secure):
    plain = plain_of(secure())
    assert httpx.get(f"{plain}/sites/small-links").headers["location"] == "/trust"
    assert httpx.post(f"{plain}/api/sites/small-links/records", json={}).status_code == 404
    assert httpx.get(f"{plain}/api/sites").status_code == 404


def test_plain_http_on_the_https_port_is_not_answered_and_harms_nothing(secure):
    server = secure()
    with pytest.raises(httpx.RemoteProtocolError):
        httpx.get(https_of(server).replace("https:", "http:"))
    with phone_of(server) as phone:
        assert phone.get(f"{https_of(server)}/trust").status_code == 200
    assert "Traceback" not in server.stop()[1]


def test_the_next_start_keeps_the_authority_and_says_nothing_of_a_new_one(secure):
    first = secure()
    with phone_of(first) as phone:
        assert "A new authority was made" in first.stop()[1]
        again = secure()
        assert phone.get(f"{https_of(again)}/trust").status_code == 200
        assert "A new authority was made" not in again.stop()[1]


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_a_request_to_stop_ends_both_sides_cleanly(secure, served, how):
    server = secure(how=served)
    ports = [int(address.rpartition(":")[2]) for address in (https_of(server), plain_of(server))]
    with phone_of(server) as phone:
        phone.get(f"{https_of(server)}/trust")
        code, printed = server.stop(how)
    assert (code, printed.endswith("fieldapp has stopped; the data is kept.\n")) == (0, True)
    for port in ports:
        with pytest.raises(ConnectionRefusedError), socket.create_connection(("127.0.0.1", port)):
            pass


def test_names_given_stand_in_the_addresses_printed_and_let_in(secure):
    server = secure("--name", "Course.lan", "--name", "192.168.1.50", host="0.0.0.0")
    https = https_of(server)
    assert https.startswith("https://course.lan:")
    assert any(line.startswith(f"fieldapp is at {https}") for line in server.lines)
    assert "Only this machine" not in "".join(server.lines)
    authority = ssl.create_default_context(
        cadata=httpx.get(f"{plain_of(server)}/trust/authority.crt").content
    )
    here = https.replace("course.lan", "127.0.0.1")
    with httpx.Client(verify=authority, headers={"host": "course.lan"}) as phone:
        assert phone.get(f"{here}/trust").status_code == 200


def test_a_name_outside_the_authority_is_refused_and_a_new_one_is_asked_for(secure, process, data):
    secure().stop()
    before = (data / FOLDER / "authority.pem").read_bytes()
    options = ("serve", "--https", "--data", data, "--port", 0, "--name", "club.lan")
    refused = process(*options)
    assert refused.code == 2
    assert "may not vouch for club.lan" in refused.err
    assert "every phone must then trust the new one" in refused.err
    assert len(refused.err.splitlines()) == 1
    assert (data / FOLDER / "authority.pem").read_bytes() == before
    renewed = secure("--name", "club.lan", "--new-authority").stop()[1]
    assert "A new authority was made" in renewed
    assert "must trust this one" in renewed


def test_a_trust_port_in_use_is_refused_by_its_own_option(secure, process, data):
    taken = plain_of(secure()).rpartition(":")[2]
    refused = process("serve", "--https", "--data", data, "--port", 0, "--http-port", taken)
    assert refused.code == 2
    assert f"Port {taken} of 127.0.0.1 cannot be used" in refused.err
    assert "--http-port" in refused.err


def test_a_damaged_authority_is_refused_in_one_sentence(secure, process, data):
    secure().stop()
    file = Path(data) / FOLDER / "authority.pem"
    file.write_text("nonsense")
    refused = process("serve", "--https", "--data", data, "--port", 0)
    assert (refused.code, len(refused.err.splitlines())) == (2, 1)
    assert "put it back from a copy" in refused.err
    assert file.read_text() == "nonsense"


WRONG = [
    (("--name", "course.lan"), "--name belongs to --https"),
    (("--http-port", "81"), "--http-port belongs to --https"),
    (("--new-authority",), "--new-authority belongs to --https"),
    (("--https", "--proxy-headers"), "give one or the other"),
    (("--https", "--root-path", "/course"), "give one or the other"),
    (("--https", "--name", "dev"), "give a full host name with a dot"),
    (("--https", "--http-port", "70000"), "is no port"),
    (("--root-path", "/co urse"), "is no path"),
    (("--root-path", "https://course.example/x"), "is no path"),
    (("--root-path", "/../x"), "is no path"),
    (("--https", "--port", "65535"), "There is no port above 65535"),
]


@pytest.mark.parametrize(
    ("options", "said"), WRONG, ids=lambda value: " ".join(value) if isinstance(value, tuple) else ""
)
def test_options_that_do_not_go_together_are_refused_in_one_line(fieldapp, data, options, said):
    refused = fieldapp("serve", "--data", data, "--port", 0, *options)
    assert (refused.code, len(refused.err.splitlines())) == (2, 1)
    assert said in refused.err


def test_under_a_path_the_printed_link_lies_under_it(served, data):
    options = ("serve", "--port", 0, "--data", data, "--proxy-headers", "--root-path", "course/")
    server = served(*options, FIELDAPP_HOSTS="course.example")
    assert "From outside it is at https://course.example/course/\n" in server.lines
    assert "is not believed" not in "".join(server.lines)


def test_a_named_host_without_a_proxy_announced_is_told_that_nothing_is_believed(branched, data):
    server = branched("serve", "--port", 0, "--data", data, FIELDAPP_HOSTS="course.example")
    assert "add --proxy-headers" in "".join(server.lines)
