"""The secret is good once, for ten minutes, for five tries; the cookie for the session."""

from __future__ import annotations

import base64

import pytest

from voicefit.phone.pairing import TRIES, VALID_S, Offer, Pairing, Role


class Clock:
    now = 100.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


def test_a_secret_has_128_bits_and_is_exchanged_once(clock: Clock) -> None:
    pairing = Pairing(clock)
    secret = pairing.offer(Role.MICROPHONE)
    assert len(base64.urlsafe_b64decode(secret + "==")) * 8 == 128
    cookie = pairing.redeem(secret)
    assert cookie is not None and pairing.role_of(cookie) is Role.MICROPHONE
    assert pairing.redeem(secret) is None and pairing.state is Offer.USED
    assert pairing.role_of(cookie) is Role.MICROPHONE, "who came in first stays in"


def test_no_two_secrets_or_cookies_are_the_same(clock: Clock) -> None:
    pairing = Pairing(clock)
    secrets = [pairing.offer(Role.SCREEN) for _ in range(50)]
    assert len(set(secrets)) == 50
    assert [pairing.redeem(secret) for secret in secrets[:-1]].count(None) == 49, "void once another is offered"


def test_it_is_void_after_ten_minutes(clock: Clock) -> None:
    pairing = Pairing(clock)
    secret = pairing.offer(Role.SCREEN)
    clock.now += VALID_S - 0.1
    assert pairing.state is Offer.OPEN
    clock.now += 0.1
    assert pairing.state is Offer.EXPIRED and pairing.redeem(secret) is None
    assert VALID_S == 600


def test_five_wrong_tries_end_it(clock: Clock) -> None:
    pairing = Pairing(clock)
    secret = pairing.offer(Role.SCREEN)
    for _ in range(TRIES - 1):
        assert pairing.redeem("wrong") is None
    assert pairing.state is Offer.OPEN
    assert pairing.redeem("") is None and pairing.state is Offer.ENDED
    assert pairing.redeem(secret) is None
    assert TRIES == 5


def test_four_wrong_tries_do_not(clock: Clock) -> None:
    pairing = Pairing(clock)
    secret = pairing.offer(Role.SCREEN)
    for _ in range(TRIES - 1):
        pairing.redeem(secret + "A")
    assert pairing.redeem(secret) is not None


@pytest.mark.parametrize("cookie", ["", "x", "é", "\udc80"])
def test_a_made_up_cookie_is_nobody(clock: Clock, cookie: str) -> None:
    pairing = Pairing(clock)
    pairing.redeem(pairing.offer(Role.SCREEN))
    assert pairing.role_of(cookie) is None


def test_nothing_is_let_in_before_anything_is_offered(clock: Clock) -> None:
    assert Pairing(clock).redeem("") is None
