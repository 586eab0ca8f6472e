"""Serving: the socket, what is said in the terminal, and a clean stop."""

from __future__ import annotations

import gc
import io
import ipaddress
import signal
import socket
import sys
from datetime import UTC, datetime
from types import FrameType

import segno
import uvicorn

from fieldapp.errors import InputError
from fieldapp.server.access import crew_key
from fieldapp.server.app import create_app
from fieldapp.settings import Settings

STOP_SIGNALS = (signal.SIGINT, signal.SIGTERM)
PATIENCE_S = 5
PLAIN_HTTP = (
    "Phones give their position to https pages only: "
    "reach this server through an https proxy with a name of your own."
)


def bound_socket(host: str, port: int) -> socket.socket:
    """Return a listening socket; raises InputError in words.

    It names TCP as its protocol, without which asyncio leaves small answers waiting 40 ms for more.
    """
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    except (OSError, UnicodeError) as fault:
        raise InputError(
            f"'{host}' is no address of this machine; give --host an address such as 0.0.0.0."
        ) from fault
    found = socket.socket(family, kind, protocol)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind(address)
        found.listen(256)
    except OSError as fault:
        found.close()
        raise InputError(
            f"Port {port} of {host} cannot be used ({(fault.strerror or str(fault)).lower()}); "
            "stop the other program or give another with --port."
        ) from fault
    return found


def serve(settings: Settings, listening: socket.socket) -> None:
    """Serve on a listening socket until Ctrl-C or a request to stop; raises StoreError, InputError."""
    host, port = listening.getsockname()[:2]
    key = ""
    if settings.crew_key or settings.hosts or not settings.for_this_machine_only:
        key, settings = crew_key(settings, datetime.now(UTC))
    server = uvicorn.Server(
        uvicorn.Config(
            create_app(settings),
            log_level="warning",
            access_log=False,
            proxy_headers=False,
            server_header=False,
            timeout_graceful_shutdown=PATIENCE_S,
        )
    )
    _stop_on_signal(server)
    _announce(settings, base_address(host, port), key)
    _spare_the_collector()
    server.run(sockets=[listening])
    print("fieldapp has stopped; the data is kept.", flush=True)


def _spare_the_collector() -> None:
    """Keep Python's garbage collector from going through all that is there for good, and from looking so often."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 100)


def base_address(host: str, port: int) -> str:
    """Return the address to open; a host that stands for all addresses becomes the one this machine has."""
    address = ipaddress.ip_address(host)
    if address.is_unspecified:
        address = ipaddress.ip_address(_own_address())
    shown = f"[{address}]" if address.version == 6 else str(address)
    return f"http://{shown}:{port}/"


def _own_address() -> str:
    """Return the address by which this machine goes out; connecting a datagram socket sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return "127.0.0.1"
        return str(probe.getsockname()[0])


def _stop_on_signal(server: uvicorn.Server) -> None:
    """Make both signals mean a clean end, also before and after the server's own handlers are in place."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        server.should_exit = True

    for number in STOP_SIGNALS:
        signal.signal(number, stop)


def _announce(settings: Settings, address: str, key: str) -> None:
    outside = f"https://{settings.hosts[0]}/" if settings.hosts else address
    link = f"{outside}enter/{key}" if key else address
    print(f"fieldapp is at {address}")
    if key:
        print(f"The crew opens this link once on each phone: {link}")
    print(_qr_code(link), end="")
    if not settings.for_this_machine_only and not settings.hosts:
        print(PLAIN_HTTP)
    print("Ctrl-C stops it.", flush=True)


def _qr_code(text: str) -> str:
    out = io.StringIO()
    segno.make(text, error="l", micro=False).terminal(out, border=2, compact=True)
    drawn = out.getvalue()
    try:
        drawn.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        return ""
    return drawn
