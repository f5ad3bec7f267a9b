"""The page beside a live session: which address, the codes that are offered, what every page is shown.

Duty: join server, pairing, phone and views for the command ``talk``. It must not drive the session.
"""

from __future__ import annotations

import ipaddress
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import segno

from voicefit.dialogue import Snapshot
from voicefit.driver import Conversation
from voicefit.errors import BadInput
from voicefit.phone.certificate import certificate_for
from voicefit.phone.pairing import TRIES, VALID_S, Offer, Pairing, Role
from voicefit.phone.server import Server
from voicefit.phone.sound import Phone
from voicefit.phone.view import Views

CODE, PHONE_CODE = "code", "phone code"  # typed: another code for a screen, or for another phone
_LOOK_S = 0.5
_NOWHERE = "192.0.2.1"  # kept free for documentation (RFC 5737): choosing the way there sends nothing


class Host:
    """Serves from its making to ``close``. ``tell`` prints a line. Raises ``BadInput`` for an address of no use."""

    def __init__(
        self,
        address: str | None,
        port: int,
        folder: Path,
        tell: Callable[[str], None],
        *,
        phone: bool,
        headset: bool = False,
    ) -> None:
        self.phone = Phone()
        self._tell = tell
        self._pairing = Pairing()
        self._views = Views()
        where = address or (workshop_address() if phone else "127.0.0.1")
        if not _is_address(where):
            raise BadInput(f"{where}: give one address of this machine in figures, such as 192.168.1.20")
        certificate = None if ipaddress.ip_address(where).is_loopback else certificate_for(where, folder)
        self._server = Server(self._pairing, self.phone, where, port, certificate, headset=headset)
        self._server.start()
        self._fingerprint = "" if certificate is None else certificate.fingerprint
        self._tell(f"The page is on {self._server.host}, and nowhere else.")
        self.offer(Role.MICROPHONE if phone else Role.SCREEN)

    @property
    def origin(self) -> str:
        return self._server.origin

    @property
    def aloud(self) -> str:
        """Where the page is, for the ear: figure by figure."""
        address, _, port = self._server.host.rpartition(":")
        words = {".": "dot", ":": "colon", "[": "", "]": ""}
        return f"{' '.join(words.get(each, each) for each in address)}, port {' '.join(port)}"

    def offer(self, role: Role) -> None:
        """Print a fresh code; one printed before is void."""
        link = self._server.link(self._pairing.offer(role))
        what = "the phone that speaks" if role is Role.MICROPHONE else "a screen"
        self._tell(f"For {what}, good once and for {VALID_S / 60:.0f} minutes: {link}")
        segno.make(link, error="l").terminal(out=sys.stderr, compact=True)
        if self._fingerprint:
            self._tell(f"Its certificate was made here; the browser shows the SHA-256 fingerprint {self._fingerprint}")

    def wait_for_phone(self) -> None:
        """Until a phone is heard. A code that nobody used is replaced; raises ``BadInput`` after five wrong ones."""
        while not self.phone.joined.wait(_LOOK_S):
            if self._pairing.state is Offer.EXPIRED:
                self.offer(Role.MICROPHONE)
            elif self._pairing.state is Offer.ENDED:
                raise BadInput(f"{TRIES} wrong secrets were tried: somebody else is in this network. Begin again")

    def answers(self, line: str) -> bool:
        """Whether a typed line asked for a code, which is then printed; no other line is meant for the page."""
        asked = {CODE: Role.SCREEN, PHONE_CODE: Role.MICROPHONE}.get(" ".join(line.split()))
        if asked is not None:
            self.offer(asked)
        return asked is not None

    def show(self, conversation: Conversation, snapshot: Snapshot) -> None:
        self._server.show(self._views.of(conversation, snapshot).model_dump_json())

    def close(self) -> None:
        self._server.close()


def workshop_address() -> str:
    """The address by which this machine reaches the network it is in. Raises ``BadInput`` where there is none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((_NOWHERE, 9))
            address: str = probe.getsockname()[0]
        except OSError:
            raise BadInput("this machine is in no network: connect it, or name an address with --address") from None
    return address


def _is_address(text: str) -> bool:
    try:
        return bool(ipaddress.ip_address(text))
    except ValueError:
        return False
