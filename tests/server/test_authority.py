"""The authority and its certificates, judged by other programs: OpenSSL and the verifier of `cryptography`."""

import shutil
import subprocess
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509 import verification
from cryptography.x509.oid import ExtendedKeyUsageOID

import fieldapp.server
from fieldapp.server.authority import (
    Certified,
    has_ended,
    make_authority,
    make_server,
    outside,
    permitted_names,
    read_certified,
    still_serves,
)
from fieldapp.server.machine_names import LOOPBACK, Names

NOW = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)
DAY = timedelta(days=1)
NAMES = Names(("course.lan", "pc.local"), (ip_address("192.168.1.50"),)) | LOOPBACK
PERMITTED_VIOLATION = "permitted subtree violation"
EXCLUDED_VIOLATION = "excluded subtree violation"


@pytest.fixture(scope="module")
def authority():
    return make_authority(NAMES, "pc", NOW)


@pytest.fixture(scope="module")
def server(authority):
    return make_server(authority, NAMES, "pc", NOW)


@pytest.fixture
def openssl(tmp_path):
    """Has OpenSSL verify a server's certificate: '' or what it says is wrong."""
    assert shutil.which("openssl"), "this test needs the openssl command"

    def verify(authority, server, at=NOW, **wanted):
        (tmp_path / "ca.pem").write_bytes(authority.pem())
        (tmp_path / "server.pem").write_bytes(server.pem())
        options = [word for name, value in wanted.items() for word in (f"-verify_{name}", value)]
        when = ["-x509_strict", "-purpose", "sslserver", "-attime", str(int(at.timestamp()))]
        files = ["-CAfile", tmp_path / "ca.pem", tmp_path / "server.pem"]
        words = ["openssl", "verify", *when, *options, *files]
        done = subprocess.run(words, capture_output=True, text=True)
        return "" if done.returncode == 0 else done.stderr

    return verify


def verified_by_cryptography(authority, server, subject, at=NOW):
    store = verification.Store([authority.certificate])
    builder = verification.PolicyBuilder().store(store).time(at)
    return builder.build_server_verifier(subject).verify(server.certificate, [])


@pytest.mark.parametrize("name", ["course.lan", "pc.local", "localhost"])
def test_a_server_is_believed_by_each_of_its_names(authority, server, openssl, name):
    assert openssl(authority, server, hostname=name) == ""
    assert verified_by_cryptography(authority, server, x509.DNSName(name))


@pytest.mark.parametrize("address", ["192.168.1.50", "127.0.0.1", "::1"])
def test_a_server_is_believed_by_each_of_its_addresses(authority, server, openssl, address):
    assert openssl(authority, server, ip=address) == ""
    assert verified_by_cryptography(authority, server, x509.IPAddress(ip_address(address)))


def test_a_name_the_certificate_does_not_carry_is_not_believed(authority, server, openssl):
    assert "hostname mismatch" in openssl(authority, server, hostname="bank.example")
    assert "IP address mismatch" in openssl(authority, server, ip="192.168.1.51")


FOREIGN = [
    Names(("bank.example",)),
    Names(("course.lan.evil.example",)),
    Names(("lan",)),
    Names(("course.lan", "bank.example")),
    Names((), (ip_address("192.168.1.51"),)),
    Names((), (ip_address("2001:db8::1"),)),
]


@pytest.mark.parametrize("names", FOREIGN, ids=lambda names: names.words())
def test_what_the_authority_signs_for_another_name_is_not_believed(authority, openssl, names):
    leaf = make_server(authority, names, "thief", NOW)
    assert PERMITTED_VIOLATION in openssl(authority, leaf)
    subject = x509.DNSName(names.dns[-1]) if names.dns else x509.IPAddress(names.addresses[0])
    with pytest.raises(verification.VerificationError, match="constraint"):
        verified_by_cryptography(authority, leaf, subject)


KINDS = [
    (Names(("course.lan",)), Names((), (ip_address("192.168.1.50"),)), EXCLUDED_VIOLATION),
    (Names((), (ip_address("192.168.1.50"),)), Names(("bank.example",)), EXCLUDED_VIOLATION),
    (Names(("a.lan",), (ip_address("192.168.1.50"),)), Names((), (ip_address("::1"),)), "violation"),
]


@pytest.mark.parametrize(("permitted", "foreign", "words"), KINDS)
def test_a_kind_of_name_of_which_none_is_permitted_is_not_free(openssl, permitted, foreign, words):
    narrow = make_authority(permitted, "pc", NOW)
    assert openssl(narrow, make_server(narrow, permitted, "pc", NOW)) == ""
    assert words in openssl(narrow, make_server(narrow, foreign, "thief", NOW))


def test_the_authority_can_make_no_other_authority(authority, tmp_path):
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "below")])
    below = Certified(_below(authority, name, key), key)
    leaf = make_server(below, Names(("course.lan",)), "pc", NOW)
    files = {"ca": authority.pem(), "below": below.pem(), "leaf": leaf.pem()}
    for file, content in files.items():
        (tmp_path / f"{file}.pem").write_bytes(content)
    when = ["-attime", str(int(NOW.timestamp()))]
    words = ["openssl", "verify", *when, "-CAfile", "ca.pem", "-untrusted", "below.pem", "leaf.pem"]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode != 0
    assert "path length constraint exceeded" in done.stderr


def _below(authority, name, key):
    builder = x509.CertificateBuilder().subject_name(name).issuer_name(authority.certificate.subject)
    builder = builder.public_key(key.public_key()).serial_number(7)
    builder = builder.not_valid_before(NOW - DAY).not_valid_after(NOW + DAY)
    return builder.add_extension(x509.BasicConstraints(True, None), True).sign(authority.key, hashes.SHA256())


def test_the_authority_says_what_it_is_and_where_its_limits_are(authority):
    extensions = authority.certificate.extensions
    for kind in (x509.BasicConstraints, x509.KeyUsage, x509.NameConstraints):
        assert extensions.get_extension_for_class(kind).critical, kind
    assert extensions.get_extension_for_class(x509.BasicConstraints).value == x509.BasicConstraints(True, 0)
    usage = extensions.get_extension_for_class(x509.KeyUsage).value
    assert usage.key_cert_sign
    assert not usage.digital_signature
    assert not usage.crl_sign
    assert permitted_names(authority) == NAMES
    assert authority.title == "fieldapp on pc, 2026-05-01"
    assert len(authority.fingerprint) == 32 * 3 - 1


def test_the_servers_certificate_is_what_phones_ask_for(server):
    certificate = server.certificate
    extensions = certificate.extensions
    usage = extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert certificate.signature_hash_algorithm.name == "sha256"
    assert certificate.public_key().curve.name == "secp256r1"
    assert not extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert certificate.version is x509.Version.v3


def test_a_servers_certificate_lasts_no_more_than_397_days(server):
    both_ends_counted = server.ends_at - server.certificate.not_valid_before_utc + timedelta(seconds=1)
    assert both_ends_counted == timedelta(days=397)


def test_a_clock_that_is_most_of_a_day_slow_believes_it_already(authority, server, openssl):
    assert openssl(authority, server, NOW - timedelta(hours=23)) == ""
    assert "not yet valid" in openssl(authority, server, NOW - timedelta(hours=25))


def test_the_authority_lasts_about_ten_years(authority):
    assert authority.ends_at - NOW > timedelta(days=3600)
    assert not has_ended(authority, authority.ends_at - timedelta(seconds=1))
    assert has_ended(authority, authority.ends_at)
    assert has_ended(authority, NOW - timedelta(days=2))


def test_no_certificate_outlives_its_authority(authority, openssl):
    late = authority.ends_at - timedelta(days=40)
    leaf = make_server(authority, NAMES, "pc", late)
    assert leaf.ends_at == authority.ends_at
    assert openssl(authority, leaf, late) == ""


def test_it_serves_until_a_month_before_its_end(authority, server):
    assert still_serves(server, authority, NAMES, NOW)
    assert still_serves(server, authority, NAMES, server.ends_at - timedelta(days=31))
    assert not still_serves(server, authority, NAMES, server.ends_at - timedelta(days=29))


def test_the_last_certificate_of_an_authority_serves_to_the_end(authority):
    leaf = make_server(authority, NAMES, "pc", authority.ends_at - timedelta(days=40))
    assert still_serves(leaf, authority, NAMES, authority.ends_at - timedelta(hours=1))
    assert not still_serves(leaf, authority, NAMES, authority.ends_at)


def test_it_does_not_serve_for_other_names_or_another_authority(authority, server):
    assert not still_serves(server, authority, NAMES - Names(("pc.local",)), NOW)
    assert not still_serves(server, authority, NAMES | Names(("a.course.lan",)), NOW)
    assert not still_serves(server, make_authority(NAMES, "pc", NOW), NAMES, NOW)
    assert not still_serves(server, authority, NAMES, NOW - 2 * DAY)


def test_what_lies_outside_the_authority_is_found(authority):
    beyond = Names(("other.lan", "xcourse.lan"), (ip_address("10.0.0.1"),))
    assert outside(authority, NAMES) == Names()
    assert outside(authority, NAMES | beyond) == beyond
    assert outside(authority, Names(("tee.course.lan",))) == Names()


def test_key_and_certificate_come_back_as_they_were_written(authority):
    again = read_certified(authority.pem())
    assert again.certificate == authority.certificate
    assert again.key.private_numbers() == authority.key.private_numbers()


def test_a_key_of_another_certificate_is_not_taken(authority, server):
    key = authority.pem().partition(b"-----BEGIN CERTIFICATE")[0]
    certificate = b"-----BEGIN CERTIFICATE" + server.pem().partition(b"-----BEGIN CERTIFICATE")[2]
    with pytest.raises(ValueError, match="not the certificate's"):
        read_certified(key + certificate)


def test_a_long_machine_name_still_makes_a_certificate():
    assert len(make_authority(NAMES, "m" * 63, NOW).title) == 64
    assert make_authority(NAMES, "m" * 63, NOW).title.endswith(", 2026-05-01")


def test_only_the_authority_knows_the_library():
    rooms = Path(fieldapp.server.__file__).parent
    using = [file.name for file in rooms.glob("*.py") if "cryptography" in file.read_text("utf-8")]
    assert using == ["authority.py"]
