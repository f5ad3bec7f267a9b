"""The phone as ears and mouth: lost within a second, taken up again, stopped at once."""

from __future__ import annotations

import threading
import time
from contextlib import closing

import numpy as np
import pytest

from benchmarks.browser import until
from tests.audio.fakes import Loud, sound
from voicefit.errors import DeviceLost
from voicefit.phone.sound import Phone, PhoneSink, PhoneSound, PhoneSource
from voicefit.records import Trouble, Utterance

BLOCK_S = 0.04


def block(level: float) -> bytes:
    """A square wave of 400 Hz."""
    return (np.where(np.arange(640) % 40 < 20, level, -level) * 32767).astype("<i2").tobytes()


class Caller:
    """A phone that sends blocks as a real one does, and plays what it gets at once."""

    def __init__(self, phone: Phone) -> None:
        self.phone, self.level = phone, 0.0
        self.got: list[str | bytes] = []
        self._stop = threading.Event()
        self.join()
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def join(self) -> None:
        self.there = True
        self.phone.join(self._take)

    def leave(self) -> None:
        self.there = False
        self.phone.leave()

    def _take(self, message: str | bytes) -> None:
        self.got.append(message)

    def _run(self) -> None:
        while not self._stop.wait(BLOCK_S):
            if self.there:
                self.phone.receive(block(self.level))

    def close(self) -> None:
        self._stop.set()
        self._thread.join()


@pytest.fixture
def caller():
    phone = Phone()
    made = Caller(phone)
    assert phone.joined.wait(5)
    yield made
    made.close()


def test_samples_come_as_they_were_sent(caller: Caller) -> None:
    caller.level = 0.5
    source = PhoneSource(caller.phone)
    time.sleep(0.1)
    source.close()  # what came before is let go
    heard = source.read()
    assert heard.shape == (640,) and abs(float(np.abs(heard).max()) - 0.5) < 0.05


def test_silence_for_a_second_is_a_lost_phone(caller: Caller) -> None:
    source = PhoneSource(caller.phone)
    caller.there = False  # the radio is gone; the socket is not closed
    began = time.monotonic()
    with pytest.raises(DeviceLost, match="out of reach"):
        while True:
            source.read()
    assert time.monotonic() - began < 2.5
    with pytest.raises(DeviceLost):
        PhoneSource(caller.phone)


def test_a_sound_is_played_until_the_phone_says_so(caller: Caller) -> None:
    sink = PhoneSink(caller.phone)
    threading.Timer(0.3, caller.phone.played, (1,)).start()
    began = time.monotonic()
    sink.play(sound(1.0), 0.0)
    assert 0.25 < time.monotonic() - began < 0.9
    head, samples = caller.got
    assert '"number": 1' in str(head) and isinstance(samples, bytes)
    assert np.array_equal(np.frombuffer(samples, "<i2"), sound(1.0).samples)


def test_it_is_hushed_at_once_and_lost_with_the_phone(caller: Caller) -> None:
    sink, halt = PhoneSink(caller.phone), threading.Event()
    threading.Timer(0.2, halt.set).start()
    assert sink.play(sound(5.0), 0.0, halt) < 1.0
    assert caller.got[-1] == '{"type":"hush"}'
    threading.Timer(0.2, caller.leave).start()
    with pytest.raises(DeviceLost):
        sink.play(sound(5.0), 0.0)
    with pytest.raises(DeviceLost):
        PhoneSink(caller.phone)


def trouble(live: PhoneSound, *, back: bool) -> Trouble | None:
    event = live.next(0.1)
    return event if isinstance(event, Trouble) and event.back is back else None


def test_the_session_goes_on_after_a_gap(caller: Caller) -> None:
    with closing(PhoneSound(lambda text: sound(0.5), caller.phone, detector=Loud())) as live:
        caller.leave()
        until(lambda: trouble(live, back=False), 5)
        caller.join()
        began = time.monotonic()
        until(lambda: trouble(live, back=True), 5)
        assert time.monotonic() - began < 3.0


def test_what_the_button_lets_go_of_is_at_its_end(caller: Caller) -> None:
    with closing(PhoneSound(lambda text: sound(0.5), caller.phone, detector=Loud())) as live:
        time.sleep(0.5)
        caller.phone.pressed(True)
        caller.level = 0.9
        time.sleep(0.8)
        caller.phone.pressed(False)  # in the middle of a word
        until(lambda: isinstance(live.next(0.1), Utterance), 3)
        caller.level = 0.0
        time.sleep(0.5)
        caller.level = 0.9
        time.sleep(0.8)
        caller.level = 0.0
        until(lambda: isinstance(live.next(0.1), Utterance), 3)  # hands-free again
