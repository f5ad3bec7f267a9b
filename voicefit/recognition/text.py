"""The engine without sound: transcripts that somebody typed or recorded as text.

Duty: hand one line after the other to the session, with what it means, as if it had been heard with certainty. It
must not interpret: the language does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from voicefit.errors import BadInput, Missing
from voicefit.recognition.protocol import SpokenLanguage, always
from voicefit.records import Alternative, Context, Reason, Rejection, Transcript, Utterance

LONGEST_TEXT = 10_000  # characters; nobody says more in one breath


def transcript_of(text: str, language: SpokenLanguage, context: Context) -> Transcript:
    """A transcript of certain text; empty text is silence, and more than ``LONGEST_TEXT`` characters too long."""
    stripped = text.strip()
    if not stripped:
        return Transcript((), "text", Rejection("", Reason.SILENCE))
    if len(stripped) > LONGEST_TEXT:
        return Transcript((), "text", Rejection(stripped[:80], Reason.TOO_LONG, f"{len(stripped)} characters"))
    alternatives = (Alternative(stripped, 0.0),)
    return Transcript(alternatives, "text", meanings=language.merge(alternatives, context))


class TextRecogniser:
    """Answers each utterance with the next line, whatever the sound; silence after the last."""

    name = "text"

    def __init__(self, lines: Iterable[str] = ()) -> None:
        self._lines: Iterator[str] = iter(lines)

    @classmethod
    def open(cls, script: str | None) -> TextRecogniser:
        """Lines from the file ``script``. Raises ``Missing`` without it, ``BadInput`` when it is not UTF-8."""
        if script is None:
            return cls()
        path = Path(script)
        if not path.is_file():
            raise Missing(f"the script {path}", "name a text file with one utterance a line")
        try:
            return cls(path.read_text(encoding="utf-8").splitlines())
        except UnicodeDecodeError as error:
            raise BadInput(f"{path}: not UTF-8 text at byte {error.start}") from error

    def recognise(
        self, utterance: Utterance, language: SpokenLanguage, context: Context, wanted: Callable[[], bool] = always
    ) -> Transcript:
        return transcript_of(next(self._lines, ""), language, context)

    def expect(self, language: SpokenLanguage, context: Context) -> None:
        """Nothing to make ready."""
