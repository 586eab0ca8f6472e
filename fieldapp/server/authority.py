"""A certificate authority that may vouch for one machine only, and the certificates it makes. Times are arguments.

Keys are EC P-256 and signatures ECDSA with SHA-256, which iPhones and Android phones both take. What Apple asks of a
server's certificate (SHA-2, names in the SAN, EKU serverAuth, at most 825 days: support.apple.com/103769) is kept; the
days are fewer, since browsers have come to refuse more than 398.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import ip_network

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.types import CertificateIssuerPrivateKeyTypes
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from fieldapp.server.machine_names import Address, Names

AUTHORITY_LASTS = timedelta(days=3650)
SERVER_LASTS = timedelta(days=397)
CLOCKS_DIFFER_BY = timedelta(days=1)
RENEW_BEFORE_END = timedelta(days=30)
LONGEST_COMMON_NAME = 64
ONE_SECOND = timedelta(seconds=1)


@dataclass(frozen=True)
class Certified:
    """A certificate with its private key."""

    certificate: x509.Certificate
    key: CertificateIssuerPrivateKeyTypes

    def pem(self) -> bytes:
        """Return key and certificate as one text."""
        key = self.key.private_bytes(
            serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        )
        return key + self.certificate.public_bytes(serialization.Encoding.PEM)

    def der(self) -> bytes:
        """Return the certificate alone, as phones take it."""
        return self.certificate.public_bytes(serialization.Encoding.DER)

    @property
    def title(self) -> str:
        """The name a phone shows for it."""
        return str(self.certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate, as phones show it: pairs of capital hex digits with colons between."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(":").upper()

    @property
    def ends_at(self) -> datetime:
        """When it stops being valid."""
        return self.certificate.not_valid_after_utc


def make_authority(names: Names, machine: str, at: datetime) -> Certified:
    """Return a new authority that may vouch for these names and addresses and for nothing else.

    A permitted DNS name permits names that end in it too (RFC 5280, 4.2.1.10). A kind of name of which none is
    permitted must be excluded as a whole, or it would be free.
    """
    key = ec.generate_private_key(ec.SECP256R1())
    subject = _name(f"fieldapp on {machine}", f", {at:%Y-%m-%d}")
    builder = _builder(subject, subject, key, at, at - CLOCKS_DIFFER_BY + AUTHORITY_LASTS)
    identifier = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    for extension, critical in (
        (x509.BasicConstraints(ca=True, path_length=0), True),
        (_usage(key_cert_sign=True), True),
        (_constraints(names), True),
        (identifier, False),
    ):
        builder = builder.add_extension(extension, critical)
    return Certified(builder.sign(key, hashes.SHA256()), key)


def make_server(authority: Certified, names: Names, machine: str, at: datetime) -> Certified:
    """Return a server's certificate for names the authority permits; it never outlives the authority."""
    key = ec.generate_private_key(ec.SECP256R1())
    ends = min(at - CLOCKS_DIFFER_BY + SERVER_LASTS - ONE_SECOND, authority.ends_at)
    builder = _builder(_name(f"fieldapp server {machine}"), authority.certificate.subject, key, at, ends)
    issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.certificate.public_key())  # type: ignore[arg-type]
    for extension, critical in (
        (x509.BasicConstraints(ca=False, path_length=None), True),
        (_usage(digital_signature=True), True),
        (x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), False),
        (x509.SubjectAlternativeName(_general(names)), False),
        (x509.SubjectKeyIdentifier.from_public_key(key.public_key()), False),
        (issuer, False),
    ):
        builder = builder.add_extension(extension, critical)
    return Certified(builder.sign(authority.key, hashes.SHA256()), key)


def read_certified(pem: bytes) -> Certified:
    """Return what `Certified.pem` wrote; raises ValueError where that cannot be."""
    key = serialization.load_pem_private_key(pem, password=None)
    certificate = x509.load_pem_x509_certificate(pem)
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        raise ValueError("the key is not the certificate's")
    return Certified(certificate, key)


def permitted_names(authority: Certified) -> Names:
    """Return what an authority may vouch for; raises ValueError where it is not limited to names."""
    try:
        found = authority.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
    except x509.ExtensionNotFound:
        raise ValueError("the authority is not limited to names") from None
    dns = [name.value for name in found.permitted_subtrees or () if isinstance(name, x509.DNSName)]
    networks = [name.value for name in found.permitted_subtrees or () if isinstance(name, x509.IPAddress)]
    addresses = [network.network_address for network in networks if not isinstance(network, Address)]
    return Names(tuple(dns), tuple(addresses))


def outside(authority: Certified, names: Names) -> Names:
    """Return those of the names that the authority may not vouch for."""
    permitted = permitted_names(authority)
    dns = [name for name in names.dns if not any(_is_below(name, top) for top in permitted.dns)]
    return Names(tuple(dns), tuple(a for a in names.addresses if a not in permitted.addresses))


def has_ended(certified: Certified, at: datetime) -> bool:
    """Whether it is no longer valid, or not yet."""
    return not certified.certificate.not_valid_before_utc <= at < certified.ends_at


def still_serves(server: Certified, authority: Certified, names: Names, at: datetime) -> bool:
    """Whether a server's certificate is of this authority, for exactly these names, and not near its end.

    Near the end of the authority itself a newer one would end no later; then it serves to the last.
    """
    if has_ended(server, at):
        return False
    near = server.ends_at - at < RENEW_BEFORE_END and server.ends_at < authority.ends_at
    return not near and _is_of(server, authority) and _served_names(server) == _as_set(names)


def _is_of(server: Certified, authority: Certified) -> bool:
    try:
        server.certificate.verify_directly_issued_by(authority.certificate)
    except (InvalidSignature, ValueError, TypeError):
        return False
    return True


def _served_names(server: Certified) -> frozenset[str | Address]:
    try:
        found = server.certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return frozenset()
    return frozenset(found.get_values_for_type(x509.DNSName)) | frozenset(
        found.get_values_for_type(x509.IPAddress)  # type: ignore[arg-type]
    )


def _as_set(names: Names) -> frozenset[str | Address]:
    return frozenset(names.dns) | frozenset(names.addresses)


def _is_below(name: str, top: str) -> bool:
    return name == top or name.endswith(f".{top}")


def _constraints(names: Names) -> x509.NameConstraints:
    permitted = [x509.DNSName(name) for name in names.dns]
    hosts = [x509.IPAddress(ip_network(address)) for address in names.addresses]
    versions = {address.version for address in names.addresses}
    excluded: list[x509.GeneralName] = [] if permitted else [x509.DNSName("")]
    excluded += [x509.IPAddress(ip_network("0.0.0.0/0"))] if 4 not in versions else []
    excluded += [x509.IPAddress(ip_network("::/0"))] if 6 not in versions else []
    return x509.NameConstraints([*permitted, *hosts] or None, excluded or None)


def _general(names: Names) -> Sequence[x509.GeneralName]:
    return [*(x509.DNSName(name) for name in names.dns), *(x509.IPAddress(one) for one in names.addresses)]


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, at: datetime, ends: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - CLOCKS_DIFFER_BY)
        .not_valid_after(ends)
    )


def _name(beginning: str, end: str = "") -> x509.Name:
    common = beginning[: LONGEST_COMMON_NAME - len(end)] + end
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common)])


def _usage(*, digital_signature: bool = False, key_cert_sign: bool = False) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=digital_signature,
        key_cert_sign=key_cert_sign,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )
