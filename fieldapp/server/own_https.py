"""Serving https by this machine's own authority: what runs beside the server, and what is said at its start."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import ssl
from collections.abc import Callable, Coroutine, Iterator, Sequence
from datetime import UTC, datetime
from typing import Any

import uvicorn

from fieldapp.server.machine_names import found_names, read_names
from fieldapp.server.own_certificate import OwnCertificate, keep_current, open_certificate
from fieldapp.server.trust_pages import Trust, create_trust_app
from fieldapp.settings import Settings

Beside = Callable[[], Coroutine[Any, Any, None]]


def own_certificate(settings: Settings) -> OwnCertificate:
    """Return the certificate to serve with, made or renewed where it is due; raises FieldappError."""
    given = read_names((*settings.way.names, *settings.hosts))
    found = found_names(settings)
    return open_certificate(settings.data_dir, given, found, _now(), settings.way.new_authority)


class ServerWithOthers(uvicorn.Server):
    """A server with others beside it in the same loop: they start after it and end before it."""

    def __init__(self, config: uvicorn.Config, beside: Sequence[Beside] = ()) -> None:
        super().__init__(config)
        self._beside = beside
        self._tasks: list[asyncio.Task[None]] = []

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then what runs beside."""
        await super().startup(sockets)
        self._tasks = [asyncio.create_task(begin()) for begin in self._beside]

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End what runs beside, then this."""
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        await super().shutdown(sockets)


class _Second(uvicorn.Server):
    """A server that leaves the signals to the first one."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


def beside_https(
    settings: Settings, trust: Trust, context: ssl.SSLContext, plain: socket.socket
) -> list[Beside]:
    """Return what runs beside the https server: its renewal, and the pages for plain http."""

    def renewed(own: OwnCertificate) -> None:
        trust.own = own
        print(renewal_words(own), flush=True)
        _print_lines(own.warnings(_now()))

    async def renewal() -> None:
        await keep_current(trust.own, context, lambda: found_names(settings), _now, renewed)

    async def trust_pages() -> None:
        config = uvicorn.Config(
            create_trust_app(trust),
            log_level="warning",
            access_log=False,
            proxy_headers=False,
            server_header=False,
            timeout_graceful_shutdown=1,
        )
        second = _Second(config)
        try:
            await second.serve(sockets=[plain])
        except asyncio.CancelledError:
            await second.shutdown(sockets=[plain])

    return [renewal, trust_pages]


def announce_trust(settings: Settings, own: OwnCertificate, address: str, draw: Callable[[str], str]) -> None:
    """Say where phones learn to trust this machine; `draw` makes a QR code."""
    if own.is_new_authority:
        print(
            f"A new authority was made, in '{own.folder}'. It may vouch for {own.names.words()} and nothing else. "
            "A phone that trusted an earlier one must trust this one."
        )
    _print_lines(own.warnings(_now()))
    if settings.for_this_machine_only:
        print("Only this machine can reach it; add --host 0.0.0.0 to let phones in.")
    print(f"1. Once on each phone, open this page and follow it: {address}trust")
    print(draw(f"{address}trust"), end="")
    print(f"   The fingerprint that the phone shows must be:\n   {own.authority.fingerprint}")
    print(
        "2. After that, on each phone, the invitation link of its person at the https address below: "
        "'fieldapp link make' with --address and that address prints one.",
        flush=True,
    )


def renewal_words(own: OwnCertificate) -> str:
    """Say that the certificate was renewed, and that this asks nothing of anybody."""
    return (
        f"The certificate was renewed for {own.names.words()}; it holds until {own.server.ends_at:%Y-%m-%d}. "
        "The authority is the same: phones need nothing."
    )


def _print_lines(lines: Sequence[str]) -> None:
    for line in lines:
        print(line, flush=True)


def _now() -> datetime:
    return datetime.now(UTC)
