"""A proxy in front of a server that passes bytes on, and at will loses answers after the server has given them."""

from __future__ import annotations

import contextlib
import random
import socket
import threading

PIECE = 65_536


class LosingProxy:
    """Listens on a free port of this machine. Where an answer is lost, its first bytes end the connection.

    While `losing` every answer is lost, and otherwise a share of the answers to what was posted.
    """

    def __init__(self, server_port: int, share: float = 0.0, seed: str = "") -> None:
        self._share, self._chance = share, random.Random(seed)
        self._server = ("127.0.0.1", server_port)
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = self._listening.getsockname()[1]
        self.losing = False
        self.lost = 0
        threading.Thread(target=self._accept, daemon=True).start()

    def close(self) -> None:
        """Take no more connections."""
        self._listening.close()

    def _accept(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                client, _ = self._listening.accept()
                threading.Thread(target=self._serve, args=(client,), daemon=True).start()

    def _serve(self, client: socket.socket) -> None:
        with (
            client,
            contextlib.suppress(OSError),
            socket.create_connection(self._server, timeout=5) as server,
        ):
            server.settimeout(None)
            asked: list[bytes] = [b""]
            threading.Thread(target=_pass_on, args=(client, server, asked), daemon=True).start()
            while piece := server.recv(PIECE):
                if self.losing or (asked[0] == b"POST" and self._chance.random() < self._share):
                    self.lost += 1
                    return
                client.sendall(piece)


def _pass_on(client: socket.socket, server: socket.socket, asked: list[bytes]) -> None:
    """Pass requests on; `asked[0]` is the method of the one under way."""
    with contextlib.suppress(OSError):
        while piece := client.recv(PIECE):
            if (start := piece[:4]) in (b"POST", b"GET "):
                asked[0] = start
            server.sendall(piece)
    with contextlib.suppress(OSError):
        server.shutdown(socket.SHUT_RDWR)
