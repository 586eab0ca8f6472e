"""A proxy in front of a server that passes bytes on, and at will loses answers after the server has given them."""

from __future__ import annotations

import contextlib
import socket
import threading

PIECE = 65_536


class LosingProxy:
    """Listens on a free port of this machine. While `losing`, the first bytes of an answer end its connection."""

    def __init__(self, server_port: int) -> None:
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
            threading.Thread(target=_pass_on, args=(client, server), daemon=True).start()
            while piece := server.recv(PIECE):
                if self.losing:
                    self.lost += 1
                    return
                client.sendall(piece)


def _pass_on(client: socket.socket, server: socket.socket) -> None:
    with contextlib.suppress(OSError):
        while piece := client.recv(PIECE):
            server.sendall(piece)
    with contextlib.suppress(OSError):
        server.shutdown(socket.SHUT_RDWR)
