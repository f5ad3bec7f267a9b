"""The bundled voice speaks, from a child process that is replaced when it hangs or dies."""

from __future__ import annotations

import os
import signal
import sys
import textwrap
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from voicefit.dialogue import Settings
from voicefit.driver.edges import Speaking, names_of
from voicefit.errors import BadInput, Missing
from voicefit.synthesis import SupervisedVoice, VoiceSettings, open_voice

SENTENCE = "Lay the nineteen leaf in the threads against a light. Any gap?"
SETTINGS = VoiceSettings()


@pytest.fixture(scope="module")
def voice() -> Iterator[SupervisedVoice]:
    with open_voice("espeak") as opened:
        yield opened


def seconds(voice: SupervisedVoice, text: str, settings: VoiceSettings = SETTINGS) -> float:
    speech = voice.speak(text, settings)
    assert speech.samples.dtype == np.int16
    return len(speech.samples) / speech.rate_hz


def test_a_sentence_is_spoken_at_a_human_rate(voice: SupervisedVoice) -> None:
    assert 2.0 < seconds(voice, SENTENCE) < 6.0  # 13 words at 165 a minute: 4.7 s, with the engine's own pace
    assert np.abs(voice.speak(SENTENCE, SETTINGS).samples).max() > 3000


def test_rate_pitch_volume_and_voice_do_what_they_say(voice: SupervisedVoice) -> None:
    assert seconds(voice, SENTENCE, VoiceSettings(words_per_minute=100)) > 1.3 * seconds(voice, SENTENCE)
    loud, soft = (np.abs(voice.speak(SENTENCE, VoiceSettings(volume=v)).samples).max() for v in (100, 20))
    assert soft < loud / 2
    high, low = (voice.speak(SENTENCE, VoiceSettings(pitch=p)).samples for p in (80, 20))
    assert len(high) and len(low) and not np.array_equal(high[:20_000], low[:20_000])
    assert "English (America)" in voice.voices()
    assert seconds(voice, SENTENCE, VoiceSettings(name="en-us")) > 2.0


def test_an_unknown_voice_name_is_named_and_harms_nothing(voice: SupervisedVoice) -> None:
    with pytest.raises(BadInput, match="nobody"):
        voice.speak("yes", VoiceSettings(name="nobody"))
    assert seconds(voice, "yes") > 0.2


def test_an_unknown_engine_is_named() -> None:
    with pytest.raises(BadInput, match="no voice engine named cathedral"):
        open_voice("cathedral")


def test_text_is_words_and_never_markup_or_control(voice: SupervisedVoice) -> None:
    plain = seconds(voice, "one two three")
    assert seconds(voice, '<break time="30s"/>one two three') < plain + 6  # read out, not obeyed
    marked = seconds(voice, "<speak>one two three</speak>")
    assert marked > plain + 0.2  # the marks are read out too
    assert seconds(voice, "one\x01 two\x00 three\n") == pytest.approx(plain, abs=0.6)
    assert seconds(voice, "[[h@'loU]] one two three") > plain + 0.2


def test_nothing_to_say_is_short(voice: SupervisedVoice) -> None:
    assert seconds(voice, "") < 0.3
    assert seconds(voice, "   ") < 0.3


def test_a_text_beyond_measure_is_refused(voice: SupervisedVoice) -> None:
    with pytest.raises(BadInput, match="too long to be spoken"):
        voice.speak("x" * 20_001, SETTINGS)


@pytest.mark.parametrize("end", [signal.SIGKILL, signal.SIGSTOP], ids=["crashed", "hung"])
def test_a_lost_worker_is_replaced_and_the_sentence_still_said(end: signal.Signals) -> None:
    with open_voice("espeak") as voice:
        before = seconds(voice, SENTENCE)
        first = voice.process_id
        assert first is not None
        os.kill(first, end)
        assert seconds(voice, SENTENCE) == before
        assert voice.process_id != first and voice.replaced == 1
        with pytest.raises(ProcessLookupError):  # nothing is left behind
            os.kill(first, 0)


def worker(tmp_path: Path, body: str) -> tuple[str, ...]:
    """A worker that speaks the protocol and misbehaves."""
    script = tmp_path / "worker.py"
    script.write_text(
        "import json, struct, sys, time\n"
        "def send(kind, payload=b''):\n"
        "    sys.stdout.buffer.write(kind + struct.pack('<I', len(payload)) + payload); sys.stdout.buffer.flush()\n"
        + textwrap.dedent(body)
    )
    return (sys.executable, "-I", str(script))


def test_a_sentence_that_kills_every_worker_is_given_up_and_the_next_one_spoken(tmp_path: Path) -> None:
    command = worker(
        tmp_path,
        """
        send(b'R', b'22050')
        for line in sys.stdin.buffer:
            if 'poison' in json.loads(line)['text']:
                sys.exit(1)
            send(b'A', b'\\0\\1' * 100)
            send(b'.')
        """,
    )
    with SupervisedVoice("poisoned", command) as voice:
        with pytest.raises(Missing, match="stopped twice"):
            voice.speak("poison", SETTINGS)
        assert len(voice.speak("water", SETTINGS).samples) == 100


def test_a_worker_that_hangs_in_mid_sentence_is_noticed(tmp_path: Path) -> None:
    command = worker(
        tmp_path,
        """
        send(b'R', b'22050')
        for line in sys.stdin.buffer:
            send(b'A', b'\\0\\1' * 100)
            time.sleep(60)
        """,
    )
    with SupervisedVoice("slow", command, silence_s=0.3) as voice:
        began = time.monotonic()
        with pytest.raises(Missing):
            voice.speak("anything", SETTINGS)
        assert time.monotonic() - began < 10


def test_an_engine_that_cannot_start_is_missing_with_a_remedy(tmp_path: Path) -> None:
    with pytest.raises(Missing, match="install the parrot"):
        SupervisedVoice("parrot", ("/no/such/program",), remedy="install the parrot")
    with pytest.raises(Missing, match="no data"):
        SupervisedVoice("parrot", worker(tmp_path, "send(b'E', b'no data')"), remedy="install the parrot")


def test_a_closed_voice_says_so() -> None:
    voice = open_voice("espeak")
    voice.close()
    voice.close()
    with pytest.raises(Missing, match="closed"):
        voice.speak("yes", SETTINGS)


def test_hundreds_of_replies_with_crashes_and_hangs_neither_stop_nor_grow() -> None:
    from benchmarks.voice import run

    with open_voice("espeak") as voice:
        threads, files = threading.active_count(), len(list(Path("/proc/self/fd").iterdir()))
        result = run(voice, replies=400, crash_every=100)
        assert threading.active_count() == threads and len(list(Path("/proc/self/fd").iterdir())) <= files
    assert result["replaced"] == 4
    assert result["growth_mb_after_first_tenth"]["parent"] < 20  # a leak of one reply's sound each would be 60


def test_the_platforms_voice_speaks_through_the_same_supervision() -> None:
    with open_voice("platform") as voice:  # on Linux its driver needs Debian's espeak-ng
        slow, fast = (seconds(voice, SENTENCE, VoiceSettings(words_per_minute=rate)) for rate in (120, 240))
        assert slow > 1.3 * fast > 1.0
        assert voice.voices()
        with pytest.raises(BadInput, match="nobody"):
            voice.speak("yes", VoiceSettings(name="nobody"))
        assert voice.process_id is not None
        os.kill(voice.process_id, signal.SIGKILL)
        assert seconds(voice, "yes") > 0.1
        assert len(voice.speak("", SETTINGS).samples) == 0


def test_the_workers_hold_nothing_but_what_they_need() -> None:
    import voicefit.synthesis

    for worker_file in Path(voicefit.synthesis.__file__).parent.glob("worker_*.py"):
        lines = worker_file.read_text(encoding="utf-8").splitlines()
        assert not [line for line in lines if line.strip().startswith(("import voicefit", "from voicefit"))]


def test_a_live_session_offers_the_voices_by_name(voice: SupervisedVoice) -> None:
    names = names_of("voice", Speaking(voice, Settings()))
    assert len(names) > 1
    assert all(name and not name.isdigit() for name in names)
    for name in names:
        assert len(voice.speak("right", VoiceSettings(name=name)).samples)
