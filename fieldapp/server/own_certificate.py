"""The files of this machine's authority and certificate in the data folder, and their renewal while serving.

Each file holds a private key with its certificate and is replaced as a whole, so that they cannot come apart.
"""

from __future__ import annotations

import asyncio
import os
import socket
import ssl
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from fieldapp.errors import ConflictError, FieldappError, InputError, StoreError
from fieldapp.server.authority import (
    Certified,
    has_ended,
    make_authority,
    make_server,
    outside,
    read_certified,
    still_serves,
)
from fieldapp.server.machine_names import Names

FOLDER = "https"
AUTHORITY_FILE = "authority.pem"
SERVER_FILE = "server.pem"
EARLIEST_CLOCK = datetime(2026, 1, 1, tzinfo=UTC)
TELL_OF_END = timedelta(days=365)
CHECK_EVERY_S = 3600.0
"""Hours, not days: a computer that slept counts no time while it sleeps, and its address may be another then."""

MUST_TRUST_AGAIN = "every phone must then trust the new one, as it did the old"


@dataclass(frozen=True)
class OwnCertificate:
    """An authority, the certificate it made for this machine, and what it may not vouch for.

    `given` are names asked for by hand, `unserved` those found that lie outside what the authority permits.
    """

    folder: Path
    authority: Certified
    server: Certified
    given: Names
    names: Names
    unserved: Names
    is_new_authority: bool

    @property
    def file(self) -> Path:
        """The file that holds the server's key and certificate."""
        return self.folder / SERVER_FILE

    def warnings(self, at: datetime) -> list[str]:
        """Return what whoever runs the server has to know, in sentences."""
        said = []
        if self.unserved:
            said.append(
                f"The authority that the phones trust may not vouch for {self.unserved.words()}: phones cannot open "
                f"fieldapp there. Start once with --new-authority to change that; {MUST_TRUST_AGAIN}."
            )
        if self.authority.ends_at - at < TELL_OF_END:
            said.append(
                f"The authority ends on {self.authority.ends_at:%Y-%m-%d}. Start once with --new-authority before "
                f"that day; {MUST_TRUST_AGAIN}."
            )
        return said


def open_certificate(
    data_dir: Path, given: Names, found: Names, at: datetime, new_authority: bool = False
) -> OwnCertificate:
    """Return the certificate to serve with, made or renewed where it is due.

    `new_authority` replaces an authority that does not permit all names or is in its last year, and only such a one,
    so that giving it at every start does no harm. Raises StoreError for files that cannot be used, ConflictError for
    a name or a time outside the authority.
    """
    if at < EARLIEST_CLOCK:
        raise InputError(f"The clock of this machine says {at:%Y-%m-%d}; set it before serving https.")
    folder = data_dir / FOLDER
    authority = _read(folder / AUTHORITY_FILE)
    wanted = given | found
    is_new = authority is None or (new_authority and _is_unfit(folder, authority, wanted, at))
    if authority is None or is_new:
        authority = make_authority(wanted, machine(), at)
        _write(folder / AUTHORITY_FILE, authority)
    _check(folder, authority, given, at)
    unserved = _outside(folder, authority, wanted)
    names = wanted - unserved
    server = _server(folder, authority, names, at)
    return OwnCertificate(folder, authority, server, given, names, unserved, is_new)


def renewed(own: OwnCertificate, found: Names, at: datetime) -> OwnCertificate:
    """Return the certificate to go on with: the same one where nothing is due; raises StoreError."""
    wanted = own.given | found
    unserved = outside(own.authority, wanted)
    names = wanted - unserved
    server = _server(own.folder, own.authority, names, at, own.server)
    if server is own.server and unserved == own.unserved:
        return own
    return replace(own, server=server, names=names, unserved=unserved, is_new_authority=False)


def load_into(context: ssl.SSLContext, own: OwnCertificate) -> None:
    """Have every new connection get this certificate; raises StoreError and then leaves the context as it was."""
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(own.file)
        context.load_cert_chain(own.file)
    except (OSError, ssl.SSLError) as fault:
        raise StoreError(f"The certificate in '{own.file}' cannot be used ({fault}).") from fault


async def keep_current(
    own: OwnCertificate,
    context: ssl.SSLContext,
    find: Callable[[], Names],
    clock: Callable[[], datetime],
    tell: Callable[[OwnCertificate], None],
    every_s: float = CHECK_EVERY_S,
) -> None:
    """Renew the certificate for as long as the server runs; a fault is told and tried again at the next turn."""
    while True:
        await asyncio.sleep(every_s)
        try:
            now = renewed(own, find(), clock())
            if now is not own:
                load_into(context, now)
                tell(now)
            own = now
        except (FieldappError, OSError) as fault:
            print(f"The certificate could not be renewed: {fault}", flush=True)


def machine() -> str:
    """Return this machine's name, to tell its authority from another in a phone's list."""
    return socket.gethostname().partition(".")[0] or "this machine"


def _server(
    folder: Path, authority: Certified, names: Names, at: datetime, held: Certified | None = None
) -> Certified:
    held = held or _read(folder / SERVER_FILE)
    if held is not None and still_serves(held, authority, names, at):
        return held
    made = make_server(authority, names, machine(), at)
    _write(folder / SERVER_FILE, made)
    return made


def _is_unfit(folder: Path, authority: Certified, wanted: Names, at: datetime) -> bool:
    in_its_last_year = authority.ends_at - at < TELL_OF_END
    return has_ended(authority, at) or in_its_last_year or bool(_outside(folder, authority, wanted))


def _check(folder: Path, authority: Certified, given: Names, at: datetime) -> None:
    if has_ended(authority, at):
        begins = authority.certificate.not_valid_before_utc
        raise ConflictError(
            f"The authority in '{folder}' is valid from {begins:%Y-%m-%d} to {authority.ends_at:%Y-%m-%d} and this "
            f"machine's clock says {at:%Y-%m-%d}; set the clock, or start once with --new-authority: "
            f"{MUST_TRUST_AGAIN}."
        )
    beyond = _outside(folder, authority, given)
    if beyond:
        raise ConflictError(
            f"The authority that the phones trust may not vouch for {beyond.words()}; leave that out, or start once "
            f"with --new-authority: {MUST_TRUST_AGAIN}."
        )


def _outside(folder: Path, authority: Certified, names: Names) -> Names:
    try:
        return outside(authority, names)
    except ValueError as fault:
        raise StoreError(_unusable(folder / AUTHORITY_FILE, str(fault))) from fault


def _read(file: Path) -> Certified | None:
    try:
        return read_certified(file.read_bytes())
    except FileNotFoundError:
        return None
    except OSError as fault:
        raise StoreError(_unusable(file, (fault.strerror or str(fault)).lower())) from fault
    except (ValueError, TypeError) as fault:
        raise StoreError(_unusable(file, "it holds no key with its certificate")) from fault


def _unusable(file: Path, why: str) -> str:
    return (
        f"'{file}' cannot be used ({why}); put it back from a copy, or delete '{file.parent}' "
        f"to begin with a new authority: {MUST_TRUST_AGAIN}."
    )


def _write(file: Path, certified: Certified) -> None:
    """Replace a file as a whole; nobody but its owner may read it, at no moment."""
    beside = file.with_suffix(".new")
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        beside.unlink(missing_ok=True)
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            out.write(certified.pem())
            out.flush()
            os.fsync(out.fileno())
        beside.replace(file)
    except OSError as fault:
        raise StoreError(f"'{file}' cannot be written: {fault.strerror}.") from fault
