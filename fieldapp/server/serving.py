"""Serving: the socket, what is said in the terminal, and a clean stop."""

from __future__ import annotations

import gc
import ipaddress
import signal
import socket
from contextlib import closing
from datetime import UTC, datetime
from types import FrameType

import uvicorn

from fieldapp.errors import InputError
from fieldapp.server.app import create_app
from fieldapp.server.machine_names import LOOPBACK_ADDRESSES, own_address
from fieldapp.server.own_https import ServerWithOthers, announce_trust, beside_https, own_certificate
from fieldapp.server.qr_codes import terminal_qr_code
from fieldapp.server.trust_pages import Trust
from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.workflow.links import somebody_manages

STOP_SIGNALS = (signal.SIGINT, signal.SIGTERM)
PATIENCE_S = 5
PLAIN_HTTP = (
    "Phones give their position to https pages only: start it with --https, "
    "or reach this server through an https proxy with a name of your own."
)
NO_PROXY_HEADERS = (
    "What a proxy says of its visitors is not believed: with a proxy on this machine add --proxy-headers."
)

NOBODY_MANAGES = (
    "Nobody could manage this server yet, and people come in by links only; make its manager's link first: "
    "fieldapp link make --name Manager --role manage --data {data}"
)
COME_BY_LINK = (
    "People come in by their own links: 'fieldapp link make', or the page of people at /people, makes them."
)


def bound_socket(host: str, port: int, option: str = "--port") -> socket.socket:
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
            f"stop the other program or give another with {option}."
        ) from fault
    return found


def serve(settings: Settings, listening: socket.socket, plain: socket.socket | None = None) -> None:
    """Serve on a listening socket until Ctrl-C or a request to stop; raises StoreError, InputError, ConflictError.

    With https of its own it serves the pages that lead to trusting it on a second socket, by plain http.
    """
    host, port = listening.getsockname()[:2]
    if not settings.trust_this_machine:
        _check_managed(settings)
    trust = Trust(own_certificate(settings), port, host) if settings.way.https and plain else None
    config = uvicorn.Config(
        create_app(settings, trust),
        log_level="warning",
        access_log=False,
        proxy_headers=False,
        server_header=False,
        timeout_graceful_shutdown=PATIENCE_S,
        ssl_certfile=trust.own.file if trust else None,
    )
    config.load()
    server = ServerWithOthers(config)
    if trust and plain and config.ssl:
        server = ServerWithOthers(config, beside_https(settings, trust, config.ssl, plain))
        announce_trust(settings, trust.own, base_address(host, plain.getsockname()[1]), terminal_qr_code)
    _stop_on_signal(server)
    _announce(settings, trust.https_url() if trust else base_address(host, port))
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
        address = own_address() or LOOPBACK_ADDRESSES[0]
    shown = f"[{address}]" if address.version == 6 else str(address)
    return f"http://{shown}:{port}/"


def _stop_on_signal(server: uvicorn.Server) -> None:
    """Make both signals mean a clean end, also before and after the server's own handlers are in place."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        server.should_exit = True

    for number in STOP_SIGNALS:
        signal.signal(number, stop)


def _check_managed(settings: Settings) -> None:
    with closing(open_store(settings)) as store:
        if not somebody_manages(store, datetime.now(UTC)):
            raise InputError(NOBODY_MANAGES.format(data=settings.data_dir))


def _announce(settings: Settings, address: str) -> None:
    print(f"fieldapp is at {address}")
    outside = _outside_address(settings, address)
    if outside != address:
        print(f"From outside it is at {outside}")
    print(terminal_qr_code(outside), end="")
    if not settings.trust_this_machine:
        print(COME_BY_LINK)
    if not settings.for_this_machine_only and not settings.hosts and not settings.way.https:
        print(PLAIN_HTTP)
    if settings.hosts and not settings.way.https and not settings.way.behind_proxy:
        print(NO_PROXY_HEADERS)
    print("Ctrl-C stops it.", flush=True)


def _outside_address(settings: Settings, address: str) -> str:
    """Return the address that phones use: the proxy's where one is named, else the server's own."""
    root = f"{settings.way.root_path.strip('/')}/".lstrip("/")
    if settings.hosts and not settings.way.https:
        return f"https://{settings.hosts[0]}/{root}"
    return address + root
