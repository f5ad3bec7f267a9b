"""A stretch of network between browser and server that can fail as radio does: silently, with both sockets open."""

from __future__ import annotations

import contextlib
import socket
import threading


class Radio:
    """Forwards from a port of its own to another one."""

    def __init__(self, port: int) -> None:
        self._to = port
        self._clear = threading.Event()
        self._clear.set()
        self._sockets: list[socket.socket] = []
        self._threads: list[threading.Thread] = []
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = self._listening.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                near, _ = self._listening.accept()
                far = socket.create_connection(("127.0.0.1", self._to))
                self._sockets += [near, far]
                for one, other in ((near, far), (far, near)):
                    thread = threading.Thread(target=self._forward, args=(one, other), daemon=True)
                    self._threads.append(thread)
                    thread.start()

    def _forward(self, one: socket.socket, other: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while part := one.recv(65_536):
                self._clear.wait()
                other.sendall(part)
        one.close()
        with contextlib.suppress(OSError):
            other.shutdown(socket.SHUT_RDWR)

    @property
    def rule(self) -> str:
        """The switch by which a browser goes this way, and the page keeps its address."""
        return f"--host-resolver-rules=MAP 127.0.0.1:{self._to} 127.0.0.1:{self.port}"

    def fail(self) -> None:
        self._clear.clear()

    def recover(self) -> None:
        """What hung in the air is lost: nothing of it arrives late."""
        for each in self._sockets:
            with contextlib.suppress(OSError):
                each.shutdown(socket.SHUT_RDWR)
        self._clear.set()

    def close(self) -> None:
        self._listening.close()
        self.recover()
        for thread in self._threads:
            thread.join(timeout=5)

    def __enter__(self) -> Radio:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
