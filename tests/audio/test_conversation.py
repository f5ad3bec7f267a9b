"""Ears and mouth together: own voice, barge-in, hushing, silence, losses and returns; and the same from a recording."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tests.audio.fakes import FakeSink, FakeSource, Loud, Plug, sound
from voicefit.audio.ears import HearingSettings
from voicefit.audio.events import BargedIn, Ended, Recorded, SoundEvent, Tentative
from voicefit.audio.live import HEARD_AFTER_S, ConversationSound, LiveSound
from voicefit.audio.recorded import RecordedSound
from voicefit.audio.tones import tone
from voicefit.errors import BadAudio, BadInput, Missing
from voicefit.records import SAMPLE_RATE_HZ, Quiet, Reason, Refused, Sound, Trouble, Utterance


class Bench:
    """A live sound on fake devices."""

    def __init__(self, settings: HearingSettings | None = None) -> None:
        self.source, self.sink = FakeSource(), FakeSink()
        self.microphone, self.speaker = Plug(self.source), Plug(self.sink)
        self.voice_fails = False
        self.live = LiveSound(
            self.speak,
            settings=settings,
            detector=Loud(),
            open_source=self.microphone,
            open_sink=self.speaker,
        )

    def speak(self, text: str) -> Sound:
        if self.voice_fails:
            raise Missing("the voice", "it stopped")
        return sound(len(text) / 10)

    def expect(self, kind: type[SoundEvent]) -> SoundEvent:
        event = self.live.next(5.0)
        assert isinstance(event, kind), event
        return event

    def nothing(self, seconds: float = 0.3) -> None:
        assert self.live.next(seconds) is None


def until(condition: Callable[[], bool]) -> None:
    end = time.monotonic() + 5
    while not condition():
        assert time.monotonic() < end
        time.sleep(0.005)


@pytest.fixture
def bench() -> Iterator[Bench]:
    made = Bench()
    yield made
    made.live.close()
    assert made.source.closed or made.microphone.device is None


def say_something(bench: Bench, before_s: float = 0.7) -> None:
    bench.source.hear(before_s, 0.0)
    bench.source.hear(0.5, 0.9)
    bench.source.hear(0.6, 0.0)


def test_what_is_said_comes_as_an_utterance(bench: Bench) -> None:
    say_something(bench)
    utterance = bench.expect(Utterance)
    assert isinstance(utterance, Utterance)
    assert utterance.duration_s == pytest.approx(0.5 + 0.5 + 0.45, abs=0.1)
    bench.nothing()


def test_what_may_be_the_end_is_told_ahead() -> None:
    bench = Bench(HearingSettings(tentative_after_s=(0.2,)))
    bench.source.hear(0.7, 0.0)
    bench.source.hear(0.5, 0.9)
    bench.source.hear(0.3, 0.0)  # a pause, and they go on
    bench.source.hear(0.5, 0.9)
    bench.source.hear(0.6, 0.0)
    first, second = bench.expect(Tentative), bench.expect(Tentative)
    utterance = bench.expect(Utterance)
    assert isinstance(first, Tentative) and isinstance(second, Tentative) and isinstance(utterance, Utterance)
    assert not first.covers(utterance) and second.covers(utterance)
    assert utterance.duration_s > second.utterance.duration_s > first.utterance.duration_s
    bench.nothing()
    bench.live.close()


def test_what_was_told_ahead_does_not_hold_when_a_sound_too_weak_for_the_detector_follows() -> None:
    bench = Bench(HearingSettings(tentative_after_s=(0.2,)))
    bench.source.hear(2.0, 0.02)
    bench.source.hear(0.5, 0.9)
    bench.source.hear(0.3, 0.02)
    bench.source.hear(0.2, 0.2)
    bench.source.hear(0.6, 0.02)
    early, utterance = bench.expect(Tentative), bench.expect(Utterance)
    assert isinstance(early, Tentative) and isinstance(utterance, Utterance)
    assert early.utterance.voice_s == utterance.voice_s and not early.covers(utterance)
    bench.live.close()


@pytest.mark.parametrize(
    ("noise_dbfs", "later_s", "same"),
    [(-60.0, 0.0, True), (-60.0, 0.096, True), (-60.0, 0.2, False), (-30.0, 0.0, True), (-30.0, 0.032, False)],
)
def test_only_where_it_is_quiet_around_may_the_detector_hear_a_little_more(
    noise_dbfs: float, later_s: float, same: bool
) -> None:
    """In noise that little may be the end of a teen, and no level tells it."""
    silent = np.zeros(SAMPLE_RATE_HZ, np.float32)
    early = Utterance(silent, 2.0, level_dbfs=-20.0, noise_dbfs=noise_dbfs, voice_s=1.0)
    final = replace(early, samples=np.zeros(2 * SAMPLE_RATE_HZ, np.float32), voice_s=1.0 + later_s)
    assert Tentative(early).covers(final) == same


def test_what_was_left_hanging_is_one_utterance_over_a_longer_pause() -> None:
    bench = Bench(HearingSettings(tentative_after_s=(0.2,)))
    bench.source.hear(0.7, 0.0)
    bench.source.hear(0.5, 0.9)
    bench.source.hear(0.3, 0.0)
    bench.expect(Tentative)
    bench.live.words_are(whole=False)
    bench.source.hear(0.5, 0.0)
    bench.source.hear(0.5, 0.9)
    bench.source.hear(0.6, 0.0)
    bench.expect(Tentative)
    utterance = bench.expect(Utterance)
    assert isinstance(utterance, Utterance) and utterance.duration_s > 2.2
    bench.live.close()


def test_heard_sounds_when_deciding_takes_long_and_only_then(bench: Bench) -> None:
    with bench.live.deciding():
        pass
    time.sleep(HEARD_AFTER_S + 0.1)
    assert bench.sink.played == []
    with bench.live.deciding():
        assert bench.sink.begun.wait(5)
    assert np.array_equal(bench.sink.played[0].samples, tone("heard").samples)


def test_heard_never_delays_a_reply(bench: Bench) -> None:
    bench.sink.hold = True
    with bench.live.deciding():
        assert bench.sink.begun.wait(5)
    bench.live.say("Nineteen pitch?")
    until(lambda: len(bench.sink.played) == 2)
    assert bench.sink.halted == [True]
    bench.sink.release.set()
    assert bench.live.wait(5.0)
    bench.sink.release.clear()
    bench.sink.begun.clear()
    bench.live.say("A long reply.")
    with bench.live.deciding():  # what sounds already is not stopped by it
        assert bench.sink.begun.wait(5)
        time.sleep(HEARD_AFTER_S + 0.1)
    assert bench.sink.halted == [True, False]
    bench.sink.release.set()
    assert bench.live.wait(5.0)


def test_sentences_and_tones_sound_in_their_order(bench: Bench) -> None:
    bench.live.tone("heard")
    bench.live.say("Nineteen pitch?")
    bench.live.play(sound(3.0))
    assert bench.live.wait(5.0)
    assert [round(len(s.samples) / s.rate_hz, 2) for s in bench.sink.played] == [0.18, 1.5, 3.0]


def test_the_tool_does_not_hear_itself(bench: Bench) -> None:
    bench.sink.hold = True
    bench.live.say("Is that inside the nut?")
    bench.sink.begun.wait(5)
    bench.source.hear(1.0, 0.9)
    bench.nothing(0.5)
    bench.sink.release.set()
    assert bench.live.wait(5.0)
    say_something(bench)
    bench.expect(Utterance)


def test_a_tone_does_not_close_the_ears(bench: Bench) -> None:
    bench.sink.hold = True
    bench.live.tone("listening")
    bench.sink.begun.wait(5)
    say_something(bench)
    bench.expect(Utterance)
    bench.sink.release.set()


def test_with_a_headset_a_reply_may_be_talked_over() -> None:
    bench = Bench(HearingSettings(barge_in=True))
    bench.sink.hold = True
    bench.live.say("A long explanation.")
    bench.live.say("And its second part.")
    bench.sink.begun.wait(5)
    bench.source.hear(0.5, 0.0)
    bench.source.hear(0.1, 0.9)  # 100 ms of voice are enough
    bench.expect(BargedIn)
    assert bench.live.wait(5.0)
    assert bench.sink.halted == [True] and len(bench.sink.played) == 1
    bench.source.hear(0.4, 0.9)
    bench.source.hear(0.6, 0.0)
    bench.expect(Utterance)  # what was said over it is whole
    bench.live.close()


def test_a_headset_put_on_in_mid_session_lets_replies_be_talked_over_and_one_taken_off_does_not(bench: Bench) -> None:
    for worn in (True, False):
        bench.live.use(microphone="", speaker="", barge_in=worn)
        bench.sink.hold = True
        bench.sink.begun.clear()
        bench.live.say("A long explanation.")
        bench.sink.begun.wait(5)
        bench.source.hear(0.7, 0.0)
        bench.source.hear(0.5, 0.9)
        bench.source.hear(0.6, 0.0)
        if worn:
            bench.expect(BargedIn)
            bench.expect(Utterance)
        else:
            bench.nothing()
            bench.sink.release.set()
        assert bench.live.wait(5.0)
    assert len(bench.microphone.opened) == len(bench.speaker.opened) == 1  # nothing else was changed


def test_other_devices_are_used_at_once(bench: Bench) -> None:
    old_source, old_sink = bench.source, bench.sink
    bench.source, bench.sink = FakeSource("second microphone"), FakeSink("second speaker")
    bench.microphone.device, bench.speaker.device = bench.source, bench.sink
    bench.live.use(microphone="second microphone", speaker="second speaker", barge_in=False)
    bench.live.say("Microphone: second.")
    assert bench.live.wait(5.0)
    assert old_sink.closed and not old_sink.played and len(bench.sink.played) == 1
    until(lambda: old_source.closed)
    say_something(bench)
    bench.expect(Utterance)
    bench.nothing()


def test_other_devices_that_cannot_be_opened_are_told_and_taken_up_when_they_can(bench: Bench) -> None:
    bench.microphone.device = bench.speaker.device = None
    bench.live.use(microphone="gone", speaker="gone too", barge_in=False)
    told = {event.what for event in (bench.live.next(5.0), bench.live.next(5.0)) if isinstance(event, Trouble)}
    assert told == {"microphone", "speaker"}
    bench.microphone.device, bench.speaker.device = bench.source, bench.sink
    back = [event for event in (bench.live.next(5.0), bench.live.next(5.0)) if isinstance(event, Trouble)]
    assert {event.what for event in back if event.back} == {"microphone", "speaker"}


def test_hushing_stops_what_sounds_and_drops_what_waits(bench: Bench) -> None:
    bench.sink.hold = True
    bench.live.say("One.")
    bench.live.say("Two.")
    bench.sink.begun.wait(5)
    bench.live.hush()
    assert bench.live.wait(5.0)
    assert bench.sink.halted == [True] and len(bench.sink.played) == 1
    bench.sink.hold = False
    bench.live.say("Three.")
    assert bench.live.wait(5.0)
    assert len(bench.sink.played) == 2


def test_silence_is_told_again_and_again() -> None:
    bench = Bench(HearingSettings(quiet_after_s=2.0))
    bench.source.hear(5.0, 0.0)
    for seconds in (2.0, 4.0):
        quiet = bench.expect(Quiet)
        assert isinstance(quiet, Quiet) and quiet.seconds == seconds
    say_something(bench, before_s=0.1)
    bench.expect(Utterance)
    bench.source.hear(2.2, 0.0)
    quiet = bench.expect(Quiet)
    assert isinstance(quiet, Quiet) and quiet.seconds == 2.0
    bench.live.close()


def test_speech_without_end_is_refused_by_name_and_so_is_somebody_else() -> None:
    bench = Bench(HearingSettings(quietest_dbfs=-3.0))
    bench.source.hear(20.0, 0.9)
    bench.source.hear(1.0, 0.0)
    refused = bench.expect(Refused)
    assert isinstance(refused, Refused) and refused.rejection.reason == Reason.TOO_LONG
    bench.source.hear(0.5, 0.51)  # below the user's own voice
    bench.source.hear(1.0, 0.0)
    refused = bench.expect(Refused)
    assert isinstance(refused, Refused) and refused.rejection.reason == Reason.TOO_QUIET
    bench.live.close()


def test_push_to_talk_hears_only_while_pressed_and_ends_at_once(bench: Bench) -> None:
    bench.live.listen(False)
    time.sleep(0.1)
    say_something(bench)
    bench.nothing()
    bench.live.listen(True)
    bench.source.hear(0.5, 0.0)
    bench.source.hear(0.5, 0.9)
    time.sleep(0.3)
    bench.live.listen(False)
    bench.source.hear(0.02, 0.0)
    bench.expect(Utterance)


def test_a_note_is_one_recording_with_its_pauses(bench: Bench) -> None:
    bench.live.record(longest_s=30, silence_s=2.0)
    bench.source.hear(0.5, 0.0)
    for _ in range(3):
        bench.source.hear(1.0, 0.9)
        bench.source.hear(1.5, 0.0)
    bench.source.hear(1.0, 0.0)
    recorded = bench.expect(Recorded)
    assert isinstance(recorded, Recorded) and recorded.utterance.duration_s > 8.0
    say_something(bench)
    bench.expect(Utterance)  # and then utterances again


def test_a_lost_microphone_is_told_and_taken_up_again(bench: Bench) -> None:
    bench.source.hear(0.5, 0.0)
    bench.source.hear(0.5, 0.9)
    bench.microphone.device = None
    bench.source.lose()
    bench.expect(Utterance)  # what was half said is not lost
    trouble = bench.expect(Trouble)
    assert isinstance(trouble, Trouble) and (trouble.what, trouble.back) == ("microphone", False)
    assert "bench microphone" in trouble.detail
    assert bench.source.closed
    bench.live.say("The microphone is gone.")  # the other channel still works
    assert bench.live.wait(5.0) and len(bench.sink.played) == 1
    until(lambda: bench.microphone.tries >= 3)  # looked for again and again
    bench.source = bench.microphone.device = FakeSource("bench microphone")
    back = bench.expect(Trouble)
    assert isinstance(back, Trouble) and back.back and back.what == "microphone"
    say_something(bench)
    bench.expect(Utterance)


def test_a_speaker_lost_while_idle_is_told_and_taken_up_again(bench: Bench) -> None:
    bench.speaker.device = None
    bench.sink.lost = True
    trouble = bench.expect(Trouble)
    assert isinstance(trouble, Trouble) and trouble.what == "speaker"
    say_something(bench)
    bench.expect(Utterance)  # the ears still hear
    bench.sink = bench.speaker.device = FakeSink()
    back = bench.expect(Trouble)
    assert isinstance(back, Trouble) and back.back
    bench.live.say("Here again.")
    assert bench.live.wait(5.0) and len(bench.sink.played) == 1


def test_a_speaker_lost_in_mid_sentence_is_told(bench: Bench) -> None:
    bench.sink.hold = True
    bench.speaker.device = None
    bench.live.say("Lay the nineteen leaf in the threads.")
    bench.sink.begun.wait(5)
    bench.sink.lost = True
    trouble = bench.expect(Trouble)
    assert isinstance(trouble, Trouble) and trouble.what == "speaker"
    assert bench.live.wait(5.0)
    say_something(bench)  # and the ears are open again
    bench.expect(Utterance)


def test_a_lost_voice_is_told_once_and_its_return_too(bench: Bench) -> None:
    bench.voice_fails = True
    bench.live.say("One.")
    bench.live.say("Two.")
    trouble = bench.expect(Trouble)
    assert isinstance(trouble, Trouble) and (trouble.what, trouble.back) == ("voice", False)
    bench.nothing()
    bench.voice_fails = False
    bench.live.say("Three.")
    back = bench.expect(Trouble)
    assert isinstance(back, Trouble) and (back.what, back.back) == ("voice", True)


def test_no_speaker_at_the_start_is_a_trouble_and_no_microphone_an_error() -> None:
    live = LiveSound(
        lambda text: sound(1),
        detector=Loud(),
        open_source=Plug(FakeSource()),
        open_sink=Plug(),
    )
    trouble = live.next(5.0)
    assert isinstance(trouble, Trouble) and trouble.what == "speaker"
    live.close()
    sink = FakeSink()
    with pytest.raises(Missing):
        LiveSound(lambda text: sound(1), open_source=Plug(), open_sink=Plug(sink))
    assert sink.closed


# ---- from a recording -----------------------------------------------------------------------------------


def recording(*parts: tuple[float, float]) -> list[np.ndarray]:
    return [np.full(round(seconds * SAMPLE_RATE_HZ), value, np.float32) for value, seconds in parts]


def test_a_recording_stands_still_while_a_reply_is_spoken(tmp_path: Path) -> None:
    blocks = recording((0.0, 1.0), (0.9, 0.5), (0.0, 1.0), (0.9, 0.5), (0.0, 1.0))
    out = tmp_path / "replies.wav"
    starts = []
    with closing(RecordedSound(blocks, lambda text: sound(2.0), to=out, detector=Loud())) as recorded:
        runs: ConversationSound = recorded
        while not isinstance(event := runs.next(), Ended):
            assert isinstance(event, Utterance)
            starts.append(event.start_s)
            runs.say("reply")
        assert runs.now_s == pytest.approx(4.0 + 2 * 2.0, abs=0.1)
        assert isinstance(runs.next(), Ended)
    assert starts[1] - starts[0] == pytest.approx(1.5 + 2.0, abs=0.05)
    samples, rate_hz = soundfile.read(out, dtype="int16")
    assert len(samples) / rate_hz == pytest.approx(8.0, abs=0.1)
    loud = np.flatnonzero(samples)
    assert loud[0] / rate_hz == pytest.approx(1.5 + 0.45, abs=0.1)  # right after the end was found
    assert np.count_nonzero(samples) / rate_hz == pytest.approx(4.0, abs=0.01)


def test_a_recording_of_minutes_takes_no_minutes() -> None:
    with closing(RecordedSound(recording((0.0, 600.0)), lambda text: sound(2.0), detector=Loud())) as recorded:
        quiets = 0
        while not isinstance(recorded.next(), Ended):
            quiets += 1
    assert quiets == 59 or quiets == 60


def test_a_recording_and_an_output_that_cannot_be_used_are_named(tmp_path: Path) -> None:
    with pytest.raises(BadAudio, match="no such file"):
        RecordedSound(tmp_path / "none.wav", lambda text: sound(1))
    with pytest.raises(BadInput, match="could not be written"):
        RecordedSound(recording((0.0, 1.0)), lambda text: sound(1), to=tmp_path / "no" / "out.wav")


def test_a_recording_without_a_voice_goes_on_in_print() -> None:
    def no_voice(text: str) -> Sound:
        raise Missing("the voice", "it stopped")

    with closing(RecordedSound(recording((0.9, 1.0), (0.0, 1.0)), no_voice, detector=Loud())) as recorded:
        assert isinstance(recorded.next(), Utterance)
        recorded.say("One.")
        recorded.say("Two.")
        assert isinstance(recorded.next(), Trouble)
        assert isinstance(recorded.next(), Ended)


def test_a_note_in_a_recording(tmp_path: Path) -> None:
    blocks = recording((0.0, 0.5), (0.9, 1.0), (0.0, 1.5), (0.9, 1.0), (0.0, 3.0))
    with closing(RecordedSound(blocks, lambda text: sound(2.0), detector=Loud())) as recorded:
        recorded.record(silence_s=2.0)
        note = recorded.next()
        assert isinstance(note, Recorded) and note.utterance.duration_s > 5
