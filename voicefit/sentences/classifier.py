"""The classifier's weights in an inference engine.

Duty: open them, and run them on one text. It must not know what a kind means.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import Missing
from voicefit.records import KindShares
from voicefit.runtime import onnxruntime
from voicefit.sentences.pieces import pieces

FOLDER = Path(__file__).with_name("model")
WEIGHTS, PIECES, KINDS = "sentences.onnx", "pieces.txt", "kinds.txt"
_KEPT = 512  # sentences: those that are weighed while somebody speaks come again


class Classifier:
    """A :class:`voicefit.interpretation.kinds.SentenceClassifier`."""

    def __init__(self, folder: Path) -> None:
        self._vocabulary = {piece: at for at, piece in enumerate(_lines(folder / PIECES))}
        self._kinds = tuple(_lines(folder / KINDS))
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1  # the recogniser needs the other cores
        self._session = onnxruntime.InferenceSession(folder / WEIGHTS, options, providers=["CPUExecutionProvider"])
        self.of = lru_cache(_KEPT)(self._of)

    @property
    def kinds(self) -> tuple[str, ...]:
        return self._kinds

    def _of(self, text: str) -> KindShares:
        cut = pieces(text, self._vocabulary)
        numbers = np.array([[piece.number for piece in cut]], dtype=np.int64)
        scores, denied, told = self._session.run(None, {"ids": numbers, "mask": np.ones_like(numbers)})
        shares = np.exp(scores[0] - scores[0].max())
        shares /= shares.sum()
        of_letters = np.ones(len(text))  # what is beyond the last piece was not weighed
        for piece, after, of_piece in zip(cut[1:-1], cut[2:], _probability(told[0][1:-1]), strict=True):
            of_letters[piece.start : max(piece.end, min(after.start, piece.end + 1))] = of_piece  # and the space
        return KindShares(
            dict(zip(self._kinds, map(float, shares), strict=True)),
            float(_probability(denied[0])),
            tuple(map(float, of_letters)),
        )


@lru_cache(1)
def open_classifier(folder: Path = FOLDER) -> Classifier:
    """The shipped classifier, opened once. Raises ``Missing`` where its files are not there or damaged."""
    try:
        return Classifier(folder)
    except Exception as error:  # whatever the engine finds in a damaged file
        raise Missing(
            f"the sentence classifier in {folder} ({type(error).__name__})", "install voicefit again"
        ) from None


def _probability(scores: NDArray[np.float32]) -> NDArray[np.float64]:
    return 1.0 / (1.0 + np.exp(-scores.astype(np.float64)))


def _lines(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8").split("\n")
