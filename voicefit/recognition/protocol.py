"""What every speech recogniser offers. Engines are looked up by name in :mod:`voicefit.recognition`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from voicefit.records import Context, Meaning, Transcript, Utterance


def always() -> bool:
    """The default of ``wanted``: the caller waits for the result, whatever the person does meanwhile."""
    return True


class SpokenLanguage(Protocol):
    """What an engine needs to know of a language: a constraint for its beam, and what a text means.

    :class:`voicefit.interpretation.Language` is the product's; the benchmarks bring two small ones.
    """

    def constraint(self, context: Context) -> str:
        """A Lark-style grammar (start rule ``start``) of the texts an engine may write, spelled out and in digits."""

    def interpret(self, text: str, context: Context) -> tuple[Meaning, ...]:
        """What the text may mean, best first; weights sum to one. Empty where it means nothing."""

    def log_prior(self, meaning: Meaning, context: Context) -> float:
        """How much likelier the context makes this meaning; 0 where it has no opinion."""

    def takes_freely(self, meaning: Meaning) -> bool:
        """Whether this may be taken of words that the constraint has not got, when an engine wrote them of itself."""

    def vocabulary(self) -> frozenset[str]:
        """All words, lower case, spelled out: for engines with a word list."""


class Recogniser(Protocol):
    name: str

    def recognise(
        self, utterance: Utterance, language: SpokenLanguage, context: Context, wanted: Callable[[], bool] = always
    ) -> Transcript:
        """The alternatives heard, or a transcript with a rejection. Raises ``Missing`` only where ``expect`` would.

        An engine that can stop half-way looks at ``wanted`` now and then, and raises ``Abandoned`` once it says no.
        """

    def expect(self, language: SpokenLanguage, context: Context) -> None:
        """Make ready for what will be heard in that context, while there is time; calling it again costs nothing.

        Raises ``Missing`` when the engine cannot hear that language.
        """
