"""Who may open the page: a secret that is shown once, exchanged for a cookie that lasts as long as the session.

    offer(role) -> secret      128 bits; valid ten minutes, once; five wrong tries end it
    redeem(secret) -> cookie   256 bits; kept in memory only
    role_of(cookie)            what it may do

Every comparison takes the same time whatever is wrong (``hmac.compare_digest``).

Duty: secrets and who they stand for. It must not know of requests.
"""

from __future__ import annotations

import hmac
import secrets
import threading
import time
from collections.abc import Callable
from enum import StrEnum

VALID_S = 600.0
TRIES = 5


class Role(StrEnum):
    MICROPHONE = "microphone"  # it speaks and hears; there is one
    SCREEN = "screen"  # it shows


class Offer(StrEnum):
    """What has become of the secret last offered."""

    OPEN = "open"
    USED = "used"
    EXPIRED = "expired"
    ENDED = "ended"  # by too many wrong tries
    NONE = "none"


class Pairing:
    """``clock`` : seconds, only their differences count. From any thread."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._secret, self._role, self._until, self._wrong = "", Role.SCREEN, 0.0, 0
        self._state = Offer.NONE
        self._cookies: dict[str, Role] = {}

    def offer(self, role: Role) -> str:
        """A fresh secret; one that was offered before is void."""
        with self._lock:
            self._secret, self._role = secrets.token_urlsafe(16), role
            self._until, self._wrong, self._state = self._clock() + VALID_S, 0, Offer.OPEN
            return self._secret

    @property
    def state(self) -> Offer:
        if self._state is Offer.OPEN and self._clock() >= self._until:
            self._state = Offer.EXPIRED
        return self._state

    def redeem(self, secret: str) -> str | None:
        """The cookie for the secret, or ``None``: wrong, used, expired or ended, which a stranger is not told apart."""
        with self._lock:
            known = hmac.compare_digest(secret.encode(), self._secret.encode())
            if self.state is not Offer.OPEN:
                return None
            if not known:
                self._wrong += 1
                if self._wrong >= TRIES:
                    self._state = Offer.ENDED
                return None
            self._state = Offer.USED
            cookie = secrets.token_urlsafe(32)
            self._cookies[cookie] = self._role
            return cookie

    def role_of(self, cookie: str) -> Role | None:
        """``None`` for a cookie that was not given by this session."""
        found = None
        for known, role in list(self._cookies.items()):
            if hmac.compare_digest(known.encode(), cookie.encode("utf-8", "replace")):
                found = role
        return found
