"""The neural model: sound to states, and one decoder step for many hypotheses at once.

Duty: run the two onnxruntime sessions and carry the decoder's memory. It must not know grammars, texts or scores
beyond log-probabilities of the next token.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import Missing
from voicefit.recognition.vocabulary import START
from voicefit.recognition.weights import DECODER, ENCODER
from voicefit.runtime import onnxruntime

LAYERS, HEADS, HEAD_WIDTH = 6, 8, 36
SAMPLES_PER_STATE = 384
THREADS = 2
_PARTS = ("key", "value")

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Memory:
    """What the decoder keeps between steps.

    ``sound`` : inputs that stay the same for an utterance, with a batch of one: the decoder broadcasts them over the
    hypotheses, which halves the time of a step against repeating them.
    ``text`` : keys and values of the tokens so far, each of shape (hypotheses, 8, tokens, 36).
    """

    sound: dict[str, NDArray[Any]]
    text: tuple[Floats, ...]

    def keep(self, rows: NDArray[np.int64]) -> Memory:
        """The memory of ``rows``, in that order, repeats allowed."""
        if np.array_equal(rows, np.arange(len(self.text[0]))):
            return self
        return Memory(self.sound, tuple(part[rows] for part in self.text))


class Network:
    def __init__(self, folder: Path) -> None:
        """Load both halves. Raises ``Missing`` naming the file that onnxruntime cannot read."""
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = THREADS
        options.inter_op_num_threads = 1
        options.log_severity_level = 3
        # Threads that wait by spinning take the time of whatever else runs: half the work, twice the speed beside it.
        options.add_session_config_entry("session.intra_op.allow_spinning", "0")
        options.enable_cpu_mem_arena = False  # it keeps room for every length it has seen, and is no faster
        self._encoder = _session(folder / ENCODER, options)
        self._decoder = _session(folder / DECODER, options)
        names = [output.name for output in self._decoder.get_outputs()]
        self._text_inputs = [f"past_key_values.{i}.decoder.{part}" for i in range(LAYERS) for part in _PARTS]
        self._sound_inputs = [f"past_key_values.{i}.encoder.{part}" for i in range(LAYERS) for part in _PARTS]
        self._text_outputs = [_present(name) for name in self._text_inputs]
        self._sound_outputs = [_present(name) for name in self._sound_inputs]
        if absent := set(self._text_outputs + self._sound_outputs) - set(names):
            raise Missing(f"the output {min(absent)} of {folder / DECODER}", "name the folder of the model tiny-en")

    def listen(self, samples: Floats) -> tuple[Floats, Memory]:
        """Encode the sound and decode the start token.

        Parameters
        ----------
        samples : shape (n,), 16 kHz, n at least a tenth of a second

        Returns
        -------
        Log-probabilities of the first token, shape (1, vocabulary), and the memory of one hypothesis.
        """
        mask = np.ones((1, len(samples)), np.int64)
        (states,) = self._encoder.run(None, {"input_values": samples[np.newaxis], "attention_mask": mask})
        sound = {
            "encoder_hidden_states": states,
            # The decoder wants a mask as long as the sound and reads one value of it a state: of a mask with the
            # states' length it reads a single one, and fails from 385 states (9.2 s) on.
            "encoder_attention_mask": np.ones((1, states.shape[1] * SAMPLES_PER_STATE), np.int64),
        }
        empty = np.zeros((1, HEADS, 0, HEAD_WIDTH), np.float32)
        inputs = sound | dict.fromkeys(self._text_inputs + self._sound_inputs, empty)
        inputs |= {"input_ids": np.array([[START]], np.int64), "use_cache_branch": np.array([False])}
        logits, *parts = self._decoder.run(["logits", *self._text_outputs, *self._sound_outputs], inputs)
        text, kept = parts[: len(self._text_outputs)], parts[len(self._text_outputs) :]
        sound |= dict(zip(self._sound_inputs, kept, strict=True))
        return _log_softmax(logits[:, -1]), Memory(sound, tuple(text))

    def step(self, tokens: NDArray[np.int64], memory: Memory) -> tuple[Floats, Memory]:
        """Append one token to each hypothesis.

        ``tokens`` : shape (hypotheses,), in the order of the memory's rows. Returns log-probabilities of the next
        token, shape (hypotheses, vocabulary), and the new memory.
        """
        inputs = memory.sound | dict(zip(self._text_inputs, memory.text, strict=True))
        inputs |= {"input_ids": tokens[:, np.newaxis], "use_cache_branch": np.array([True])}
        logits, *text = self._decoder.run(["logits", *self._text_outputs], inputs)
        return _log_softmax(logits[:, -1]), Memory(memory.sound, tuple(text))


def _session(path: Path, options: Any) -> Any:
    try:
        return onnxruntime.InferenceSession(str(path), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # onnxruntime raises many types of its own; all mean an unusable file
        raise Missing(f"a readable {path}", f"install the model again ({error})") from error


def _present(name: str) -> str:
    return name.replace("past_key_values", "present")


def _log_softmax(logits: Floats) -> Floats:
    """In place: the vocabulary is large, and new pages for it cost more than the sums."""
    logits -= logits.max(axis=-1, keepdims=True)
    logits -= np.log(np.exp(logits).sum(axis=-1, keepdims=True))
    return logits
