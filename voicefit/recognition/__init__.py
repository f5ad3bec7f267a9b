"""Speech engines behind one protocol, looked up by name and imported when first used.

How it works. Sound becomes encoder states, and a decoder gives each next token a log-probability (``network``). A beam
search keeps the likeliest token sequences that a grammar of the spoken language allows, one beam for what answers the
open question and one for all that can be said, beside a free one (``beam``, ``constraint``). Texts that mean the same
are one alternative (``shares``); an alternative's weight is

    log p(text | sound) + log prior of its meaning in the context

and its share is that against all others. A logistic function of a few scores, among them how much likelier the free
text is than the best allowed one, gives the probability that it is right; below a threshold it is refused by name
(``acceptance``, whose numbers are fitted).

Duty: the list of engines. A new one is a class that satisfies :class:`~voicefit.recognition.protocol.Recogniser` and
one line here; nothing else in the project names an engine.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from voicefit.errors import BadInput
from voicefit.recognition.protocol import Recogniser, SpokenLanguage

__all__ = ["ENGINES", "Recogniser", "SpokenLanguage", "open_recogniser"]


def _neural(model: str | None, shift: float) -> Recogniser:
    from voicefit.recognition.acceptance import read_acceptance
    from voicefit.recognition.neural import NeuralRecogniser

    return NeuralRecogniser(model, read_acceptance().shifted(shift))


def _vosk(model: str | None, shift: float) -> Recogniser:
    from voicefit.recognition.vosk import VoskRecogniser

    return VoskRecogniser(model)


ENGINES: Final[dict[str, Callable[[str | None, float], Recogniser]]] = {"neural": _neural, "vosk": _vosk}


def open_recogniser(name: str = "neural", model: str | None = None, shift: float = 0.0) -> Recogniser:
    """The engine called ``name``, ready to hear.

    Parameters
    ----------
    name : one of :data:`ENGINES`
    model : the engine's model: a folder (``neural``), a folder or a model's name (``vosk``); ``None`` for
        what the engine finds by itself
    shift : of the neural engine's acceptance, log-odds, as a hearing check fitted it to the voice

    Raises
    ------
    BadInput
        No engine has that name.
    Missing
        The engine, or its model, is not on this machine; the text says how to get it.
    """
    if name not in ENGINES:
        raise BadInput(f"no speech engine is called {name!r}; there are {', '.join(ENGINES)}")
    return ENGINES[name](model, shift)
