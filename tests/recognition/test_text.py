from pathlib import Path

import numpy as np
import pytest

from voicefit.errors import BadInput, Missing
from voicefit.interpretation import Language
from voicefit.recognition import ENGINES, open_recogniser
from voicefit.recognition.text import LONGEST_TEXT, transcript_of
from voicefit.records import Context, Reason, Utterance

SILENCE = Utterance(np.zeros(1600, np.float32))


def test_lines_come_one_by_one_and_then_silence(tmp_path: Path, language: Language) -> None:
    script = tmp_path / "script.txt"
    script.write_text("nineteen pitch\nyes\n", encoding="utf-8")
    recogniser = open_recogniser("text", str(script))
    heard = [recogniser.recognise(SILENCE, language, Context()) for _ in range(3)]
    assert [transcript.text for transcript in heard] == ["nineteen pitch", "yes", ""]
    assert heard[0].alternatives[0].log_probability == 0.0
    assert heard[0].meanings == language.interpret("nineteen pitch", Context())
    assert heard[2].rejection is not None and heard[2].rejection.reason is Reason.SILENCE


def test_a_script_that_is_not_there_or_not_text(tmp_path: Path) -> None:
    with pytest.raises(Missing, match="nowhere"):
        open_recogniser("text", str(tmp_path / "nowhere.txt"))
    (tmp_path / "binary").write_bytes(b"yes\n\xff\xfe")
    with pytest.raises(BadInput, match="not UTF-8 text at byte 4"):
        open_recogniser("text", str(tmp_path / "binary"))


def test_more_than_anybody_says_in_one_breath(language: Language) -> None:
    rejection = transcript_of("a" * (LONGEST_TEXT + 1), language, Context()).rejection
    assert rejection is not None and rejection.reason is Reason.TOO_LONG


def test_an_unknown_engine_is_named_with_the_known_ones() -> None:
    with pytest.raises(BadInput, match=f"'ear'; there are {', '.join(ENGINES)}"):
        open_recogniser("ear")
