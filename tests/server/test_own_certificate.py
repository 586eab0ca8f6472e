"""The files of the authority and the certificate: kept, renewed, never replaced in silence."""

import asyncio
import contextlib
import socket
import ssl
import stat
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address

import pytest

from fieldapp.errors import ConflictError, InputError, StoreError
from fieldapp.server.authority import make_server
from fieldapp.server.machine_names import LOOPBACK, Names
from fieldapp.server.own_certificate import (
    AUTHORITY_FILE,
    FOLDER,
    SERVER_FILE,
    keep_current,
    load_into,
    open_certificate,
    renewed,
)

NOW = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)
GIVEN = Names(("course.lan",))
FOUND = Names(("pc.local",), (ip_address("192.168.1.50"),)) | LOOPBACK
MOVED = Names(("pc.local",), (ip_address("192.168.1.77"),)) | LOOPBACK
AGAIN = "every phone must then trust the new one"


@pytest.fixture
def opened(tmp_path):
    def open_at(at=NOW, given=GIVEN, found=FOUND, new_authority=False):
        return open_certificate(tmp_path, given, found, at, new_authority)

    return open_at


def test_the_first_start_makes_both_and_only_their_owner_can_read_them(opened, tmp_path):
    own = opened()
    assert own.is_new_authority
    assert own.names == GIVEN | FOUND
    assert own.warnings(NOW) == []
    assert stat.S_IMODE((tmp_path / FOLDER).stat().st_mode) == 0o700
    for file in (AUTHORITY_FILE, SERVER_FILE):
        assert stat.S_IMODE((tmp_path / FOLDER / file).stat().st_mode) == 0o600
    assert sorted(file.name for file in (tmp_path / FOLDER).iterdir()) == [AUTHORITY_FILE, SERVER_FILE]


def test_the_next_start_changes_nothing(opened):
    first, again = opened(), opened(NOW + timedelta(days=100))
    assert not again.is_new_authority
    assert again.authority.certificate == first.authority.certificate
    assert again.server.certificate == first.server.certificate


def test_a_start_a_year_later_renews_the_certificate_and_keeps_the_authority(opened):
    first, later = opened(), opened(NOW + timedelta(days=380))
    assert later.server.certificate != first.server.certificate
    assert later.authority.certificate == first.authority.certificate
    later.server.certificate.verify_directly_issued_by(first.authority.certificate)


def test_a_certificate_that_ended_while_nothing_ran_is_renewed(opened):
    first, later = opened(), opened(NOW + timedelta(days=800))
    assert first.server.ends_at < NOW + timedelta(days=800) < later.server.ends_at


def test_a_name_dropped_or_added_within_the_authority_issues_again(opened):
    first = opened()
    fewer = opened(given=Names())
    more = opened(given=Names(("course.lan", "tee.course.lan")))
    serials = {own.server.certificate.serial_number for own in (first, fewer, more)}
    assert len(serials) == 3
    assert more.authority.certificate == first.authority.certificate


def test_an_address_of_another_network_is_told_and_the_phones_stay_trusting(opened):
    first = opened()
    moved = opened(found=MOVED)
    assert moved.authority.certificate == first.authority.certificate
    assert moved.unserved == Names((), (ip_address("192.168.1.77"),))
    assert moved.names == GIVEN | Names(("pc.local",)) | LOOPBACK
    (said,) = moved.warnings(NOW)
    assert "may not vouch for 192.168.1.77" in said
    assert AGAIN in said


def test_a_name_given_by_hand_outside_the_authority_is_refused_in_words(opened, tmp_path):
    opened()
    before = (tmp_path / FOLDER / AUTHORITY_FILE).read_bytes()
    with pytest.raises(ConflictError, match=r"may not vouch for club\.lan") as refused:
        opened(given=Names(("club.lan",)))
    assert AGAIN in str(refused.value)
    assert (tmp_path / FOLDER / AUTHORITY_FILE).read_bytes() == before


def test_a_new_authority_is_made_when_asked_for_and_needed_and_only_then(opened):
    first = opened()
    assert opened(new_authority=True).authority.certificate == first.authority.certificate
    second = opened(given=Names(("club.lan",)), new_authority=True)
    assert second.is_new_authority
    assert second.authority.certificate != first.authority.certificate
    assert second.unserved == Names()
    third = opened(given=Names(("club.lan",)), new_authority=True)
    assert third.authority.certificate == second.authority.certificate


def test_an_authority_in_its_last_year_is_told_and_may_be_replaced(opened):
    late = opened().authority.ends_at - timedelta(days=100)
    (said,) = opened(late).warnings(late)
    assert "ends on 2036-04" in said
    assert AGAIN in said
    assert opened(late, new_authority=True).is_new_authority


def test_an_authority_that_has_ended_is_refused_until_a_new_one_is_asked_for(opened):
    ended = opened().authority.ends_at + timedelta(days=1)
    with pytest.raises(ConflictError, match="start once with --new-authority"):
        opened(ended)
    assert opened(ended, new_authority=True).is_new_authority


def test_a_clock_that_was_never_set_makes_no_authority(opened, tmp_path):
    with pytest.raises(InputError, match="clock of this machine says 1970-01-01"):
        opened(datetime(1970, 1, 1, tzinfo=UTC))
    assert not (tmp_path / FOLDER).exists()


@pytest.mark.parametrize(
    "content", [b"", b"nonsense", b"-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n"]
)
@pytest.mark.parametrize("name", [AUTHORITY_FILE, SERVER_FILE])
def test_a_file_that_cannot_be_read_is_refused_and_left_alone(opened, tmp_path, name, content):
    opened()
    file = tmp_path / FOLDER / name
    file.write_bytes(content)
    with pytest.raises(StoreError, match="put it back from a copy, or delete"):
        opened()
    assert file.read_bytes() == content


def test_a_folder_that_cannot_be_made_is_told_in_words(opened, tmp_path):
    (tmp_path / FOLDER).write_text("in the way")
    with pytest.raises(StoreError, match=r"(?i)not a directory|file exists"):
        opened()


def test_while_nothing_is_due_the_certificate_stays_the_same(opened):
    own = opened()
    assert renewed(own, FOUND, NOW + timedelta(days=30)) is own


def test_while_serving_a_move_is_noticed_once(opened):
    own = opened()
    moved = renewed(own, MOVED, NOW)
    assert moved.unserved.words() == "192.168.1.77"
    assert renewed(moved, MOVED, NOW) is moved
    assert renewed(moved, FOUND, NOW).unserved == Names()


def serial_given_to(port, authority):
    """Connect as a phone that trusts the authority; return the serial of what the server shows."""
    phone = ssl.create_default_context(cadata=authority.der())
    phone.verify_flags |= ssl.VERIFY_X509_STRICT
    with (
        socket.create_connection(("127.0.0.1", port)) as line,
        phone.wrap_socket(line, server_hostname="course.lan") as secure,
    ):
        return int(secure.getpeercert()["serialNumber"], 16)


def test_a_running_server_gets_the_renewed_certificate_and_phones_go_on_trusting(tmp_path):
    now = datetime.now(UTC)
    made = open_certificate(tmp_path, GIVEN, FOUND, now)
    own = replace(made, server=make_server(made.authority, made.names, "pc", now - timedelta(days=370)))
    own.file.write_bytes(own.server.pem())
    told = []

    async def served():
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        load_into(context, own)
        server = await asyncio.start_server(
            lambda _reader, writer: writer.close(), "127.0.0.1", 0, ssl=context
        )
        port = server.sockets[0].getsockname()[1]
        first = await asyncio.to_thread(serial_given_to, port, own.authority)
        watch = asyncio.create_task(
            keep_current(own, context, lambda: FOUND, lambda: now, told.append, every_s=0.01)
        )
        while not told:
            await asyncio.sleep(0.01)
        second = await asyncio.to_thread(serial_given_to, port, own.authority)
        watch.cancel()
        server.close()
        return first, second

    first, second = asyncio.run(asyncio.wait_for(served(), 20))
    assert first == own.server.certificate.serial_number
    assert second == told[0].server.certificate.serial_number != first
    assert told[0].authority is own.authority


def test_a_renewal_that_fails_is_told_and_tried_again(tmp_path, capsys):
    own = open_certificate(tmp_path, GIVEN, FOUND, NOW)
    folder = tmp_path / FOLDER
    folder.rename(tmp_path / "away")
    folder.write_text("in the way")
    told = []

    async def watched():
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        watch = asyncio.create_task(
            keep_current(own, context, lambda: FOUND, lambda: own.server.ends_at, told.append, every_s=0.01)
        )
        await asyncio.sleep(0.1)
        assert not told
        folder.unlink()
        (tmp_path / "away").rename(folder)
        while not told:
            await asyncio.sleep(0.01)
        watch.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await watch

    asyncio.run(asyncio.wait_for(watched(), 20))
    assert "The certificate could not be renewed" in capsys.readouterr().out


def test_a_certificate_that_cannot_be_loaded_leaves_the_server_as_it_was(tmp_path):
    own = open_certificate(tmp_path, GIVEN, FOUND, NOW)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    load_into(context, own)
    own.file.write_bytes(b"nonsense")
    with pytest.raises(StoreError, match="cannot be used"):
        load_into(context, own)
