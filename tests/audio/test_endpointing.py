"""Utterances come out whole: with what came before the first voice, across a pause, and always ended."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.audio.conftest import Spoken, hiss, silence
from voicefit.audio.endpointing import Endpointer, EndpointSettings, join
from voicefit.audio.files import read_audio
from voicefit.audio.tones import TONES, tone
from voicefit.audio.voice_activity import FRAME, FRAME_S
from voicefit.errors import BadInput
from voicefit.records import SAMPLE_RATE_HZ, Utterance
from voicefit.resources import data_folder


class Marked:
    """A detector that takes any frame with a sample above 0.5 for voice."""

    def probability(self, frame: np.ndarray) -> float:
        return float(np.max(frame) > 0.5)

    def reset(self) -> None:
        pass


def cut(stream: np.ndarray, block: int = 320, endpointer: Endpointer | None = None) -> list[Utterance]:
    endpointer = endpointer or Endpointer()
    found = [u for start in range(0, len(stream), block) for u in endpointer.feed(stream[start : start + block])]
    return found + endpointer.flush()


def covers(utterance: Utterance, start_s: float, end_s: float) -> bool:
    return utterance.start_s <= start_s and utterance.start_s + utterance.duration_s >= end_s


def test_an_utterance_is_whole_and_at_its_time(spoken: Spoken) -> None:
    speech = spoken("outside nineteen thirty seconds")
    stream = np.concatenate([hiss(3, 0.002), speech, silence(2)])
    (utterance,) = cut(stream)
    assert covers(utterance, 3.0, 3.0 + len(speech) / SAMPLE_RATE_HZ)
    assert utterance.start_s > 2.0 and utterance.duration_s < len(speech) / SAMPLE_RATE_HZ + 1.5
    start = round(utterance.start_s * SAMPLE_RATE_HZ)
    assert np.array_equal(utterance.samples, stream[start : start + len(utterance.samples)])
    assert not utterance.clipped and not utterance.cut
    assert utterance.level_dbfs is not None and utterance.noise_dbfs is not None
    assert utterance.noise_dbfs == pytest.approx(20 * np.log10(0.002), abs=3)
    assert utterance.level_dbfs > utterance.noise_dbfs + 15


@pytest.fixture(scope="module")
def sentence() -> np.ndarray:
    """The demonstration's sentence: the detector was made for natural voices and often misses the formant one."""
    samples = read_audio(data_folder() / "demo" / "sentence.flac")
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    return samples[loud[0] : loud[-1] + 1]


def test_two_utterances_are_not_merged(spoken: Spoken) -> None:
    stream = np.concatenate([silence(1), spoken("nineteen pitch"), silence(1.2), spoken("thirty degrees"), silence(1)])
    assert len(cut(stream)) == 2


def test_the_end_is_found_soon(spoken: Spoken) -> None:
    speech = spoken("thirty seven degrees")
    endpointer = Endpointer()
    endpointer.feed(np.concatenate([silence(1), speech]))
    waited = 0.0
    while not endpointer.feed(silence(0.02)):
        waited += 0.02
        assert waited < 1.0
    assert 0.35 < waited < 0.7


def test_a_steady_engine_is_no_speech_and_speech_beside_it_still_ends(spoken: Spoken) -> None:
    engine = hiss(30, 0.05)
    assert cut(engine) == []
    speech = spoken("nine sixteenths eighteen")
    engine[10 * SAMPLE_RATE_HZ : 10 * SAMPLE_RATE_HZ + len(speech)] += speech
    (utterance,) = cut(engine)
    assert covers(utterance, 10.0, 10.0 + len(speech) / SAMPLE_RATE_HZ)


def test_speech_after_minutes_of_engine_is_still_found(spoken: Spoken) -> None:
    speech = spoken("no") * 0.4
    engine = hiss(150, 0.02)
    engine[-3 * SAMPLE_RATE_HZ : -3 * SAMPLE_RATE_HZ + len(speech)] += speech
    assert len(cut(engine)) == 1


@pytest.mark.parametrize("name", TONES)
def test_the_tools_own_tones_are_no_speech(name: str) -> None:
    from voicefit.audio.files import resample

    sound = resample(tone(name).samples.astype(np.float32) / 32768, tone(name).rate_hz, SAMPLE_RATE_HZ)
    assert cut(np.concatenate([silence(1), sound, silence(1), sound, silence(1)])) == []


def test_nothing_but_silence_gives_nothing() -> None:
    assert cut(silence(5)) == []
    assert cut(silence(0)) == []
    assert Endpointer().noise_dbfs == -120.0


def test_a_faint_voice_is_found(spoken: Spoken) -> None:
    quiet = spoken("outside three quarters") * 0.01 / 0.3
    (utterance,) = cut(np.concatenate([silence(1), quiet, silence(1)]))
    assert utterance.level_dbfs is not None and utterance.level_dbfs < -35


def test_a_clipped_voice_is_marked(sentence: np.ndarray) -> None:
    (utterance,) = cut(np.concatenate([silence(1), np.clip(sentence * 20, -1, 1), silence(1)]))
    assert utterance.clipped


# ---- the logic alone, on a marked stream ----------------------------------------------------------------


def marked(*parts: tuple[float, float]) -> np.ndarray:
    """Stretches of (amplitude, frames)."""
    return np.concatenate([np.full(round(frames * FRAME), value, np.float32) for value, frames in parts])


def test_a_knock_is_no_utterance() -> None:
    stream = marked((0, 50), (0.9, 2), (0, 50))
    assert cut(stream, endpointer=Endpointer(detector=Marked())) == []


def test_what_is_too_long_is_cut_once_and_the_rest_dropped_until_it_ends() -> None:
    short = EndpointSettings(longest_s=2.0)
    stream = marked((0, 20), (0.9, 300), (0, 20), (0.9, 10), (0, 20))
    first, second = cut(stream, endpointer=Endpointer(short, Marked()))
    assert first.cut and first.duration_s == pytest.approx(2.0, abs=0.1)
    assert not second.cut and second.duration_s < 1.3


def test_a_stream_that_ends_in_mid_word_keeps_it() -> None:
    (utterance,) = cut(marked((0, 20), (0.9, 10.5)), endpointer=Endpointer(detector=Marked()))
    assert covers(utterance, 20 * FRAME_S, 30.5 * FRAME_S)


def test_the_echo_of_the_own_voice_begins_nothing_but_a_quick_answer_is_whole() -> None:
    echo = Endpointer(detector=Marked())
    echo.skip(SAMPLE_RATE_HZ)
    assert cut(marked((0.9, 4), (0, 40)), endpointer=echo) == []  # 130 ms of echo
    quick = Endpointer(detector=Marked())
    quick.skip(SAMPLE_RATE_HZ)
    (answer,) = cut(marked((0.9, 12), (0, 40)), endpointer=quick)
    assert answer.start_s == pytest.approx(1.0, abs=0.001)  # from the first sample after the own voice


def test_what_is_skipped_is_gone_but_time_goes_on() -> None:
    endpointer = Endpointer(detector=Marked())
    endpointer.feed(marked((0, 10), (0.9, 10)))
    assert endpointer.speaking
    endpointer.skip(FRAME * 100)
    assert not endpointer.speaking
    assert endpointer.now_s == pytest.approx(120 * FRAME_S)
    (utterance,) = cut(marked((0, 20), (0.9, 10), (0, 20)), endpointer=endpointer)
    assert utterance.start_s > 120 * FRAME_S


def test_other_settings_hold_from_the_next_frame() -> None:
    endpointer = Endpointer(detector=Marked())
    endpointer.use(EndpointSettings(hang_over_s=2.0))
    assert len(cut(marked((0, 20), (0.9, 10), (0, 40), (0.9, 10), (0, 80)), endpointer=endpointer)) == 1


@pytest.mark.parametrize("wrong", [{"begin": 0.2, "keep": 0.3}, {"hang_over_s": -1}, {"longest_s": 0.1}])
def test_settings_that_make_no_sense_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(BadInput):
        EndpointSettings(**wrong)


@settings(max_examples=40, deadline=None)
@given(
    parts=st.lists(st.tuples(st.sampled_from([0.0, 0.9]), st.integers(1, 60)), max_size=12),
    blocks=st.lists(st.integers(1, 5000), min_size=1, max_size=8),
)
def test_how_the_stream_is_cut_into_blocks_does_not_matter(parts: list[tuple[float, int]], blocks: list[int]) -> None:
    stream = marked(*parts) if parts else silence(0)
    whole = cut(stream, block=max(1, len(stream)), endpointer=Endpointer(detector=Marked()))
    endpointer, pieces, at, i = Endpointer(detector=Marked()), [], 0, 0
    while at < len(stream):
        pieces += endpointer.feed(stream[at : at + blocks[i % len(blocks)]])
        at, i = at + blocks[i % len(blocks)], i + 1
    pieces += endpointer.flush()
    assert [(u.start_s, len(u.samples)) for u in pieces] == [(u.start_s, len(u.samples)) for u in whole]
    for before, after in itertools.pairwise(whole):
        assert after.start_s >= before.start_s
    for u in whole:  # every utterance is a stretch of the stream
        start = round(u.start_s * SAMPLE_RATE_HZ)
        stretch = stream[start : start + len(u.samples)]
        assert np.array_equal(u.samples[: len(stretch)], stretch) and not u.samples[len(stretch) :].any()


def test_two_halves_are_joined_with_the_silence_between() -> None:
    first = Utterance(np.ones(1600, np.float32), 1.0, level_dbfs=-20.0)
    second = Utterance(np.ones(800, np.float32), 1.3, level_dbfs=-10.0, clipped=True)
    joined = join(first, second)
    assert joined.start_s == 1.0 and joined.duration_s == pytest.approx(0.35)
    assert not joined.samples[1600:4800].any() and joined.samples[4800:].all()
    assert joined.level_dbfs == -10.0 and joined.clipped
    overlapping = join(first, Utterance(np.ones(1600, np.float32), 1.05))
    assert overlapping.duration_s == pytest.approx(0.15)
