"""The spoken language: text in, meanings out; and what an engine needs to hear it.

Duty: hold the compiled grammar and answer for it. Every text has an answer: what is not understood comes back as a
named rejection, never as an exception and never as nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from voicefit.interpretation import constraint, examples, fitting, leftovers, loosening, segment
from voicefit.interpretation.asking import asks, statement_of, without_cleft
from voicefit.interpretation.chart import Chart, Tries
from voicefit.interpretation.grammar import Grammar, all_words, number_words, numeric_words
from voicefit.interpretation.guessing import Guesses
from voicefit.interpretation.loading import load_grammar
from voicefit.interpretation.priors import Priors
from voicefit.interpretation.readings import Makers
from voicefit.interpretation.repairs import tells_nothing
from voicefit.interpretation.scene import Scene
from voicefit.interpretation.spelling import say_name
from voicefit.interpretation.tokens import Token, expand, tokenise
from voicefit.records import (
    Alternative,
    Command,
    Context,
    Meaning,
    Measurand,
    Option,
    Reading,
    Reason,
    Rejection,
    item_key,
)

_MOST_LETTERS = 1_000
_MOST_TOKENS = 80
_KEPT = 256
_NOTHING_KNOWN = Context()
_ONE_NUMBER = ("two-figures", "whole", "mixed", "decimal")


@dataclass(frozen=True, slots=True)
class _Recent:
    """What texts mean in one context. An engine weighs the texts that the session then asks about again."""

    context: Context
    meanings: dict[str, tuple[Meaning, ...]] = field(default_factory=dict)


class Language:
    """The product's :class:`voicefit.recognition.protocol.SpokenLanguage`."""

    def __init__(self, grammar: Grammar) -> None:
        self.grammar = grammar
        self._tries = Tries(grammar, Makers(grammar))
        self._words = frozenset(part for word in all_words(grammar) for part in expand(word).split())
        self._priors = Priors(grammar)
        self._number_words = number_words(grammar)
        self._scene = Scene(
            self._words,
            grammar.weighty,
            numeric_words(grammar),
            self._number_words,
            self._priors,
            one_number=(*_ONE_NUMBER, *(name for name in grammar.rules if name.endswith("-form"))),
            addressed=grammar.addressed,
            commands=_in_order(grammar),
        )
        self._guesses = Guesses(grammar)
        self._constraints: dict[object, str] = {}
        self._recent = _Recent(_NOTHING_KNOWN)

    @classmethod
    def from_texts(
        cls,
        texts: Mapping[str, str],
        series_words: Mapping[str, Sequence[str]] | None = None,
        hose_words: Mapping[str, Sequence[str]] | None = None,
        other_words: Mapping[str, Mapping[str, Sequence[str]]] | None = None,
    ) -> Language:
        """From the texts of ``grammar/`` by file name, and what people call each series, each hose type and what else
        commands speak of (id -> phrases, in the notation of the grammar; ``other_words`` : likewise, by slot).

        Raises ``BadGrammar`` naming file and place.
        """
        return cls(
            load_grammar(
                texts,
                {
                    "series": series_words or {},
                    "hose": hose_words or {},
                    "term": {},
                    "measured": {},
                    **(other_words or {}),
                },
            )
        )

    def interpret(self, text: str, context: Context = _NOTHING_KNOWN) -> tuple[Meaning, ...]:
        """What the text may mean, best first; weights (``log_weight``) sum to one. Never raises on text.

        The weights compare meanings of this one text in this context. Unsaid units and measurands are options
        of one reading; other words or another cut are other meanings.
        """
        recent = self._recent
        if recent.context != context or len(recent.meanings) >= _KEPT:
            recent = self._recent = _Recent(context)
        if text not in recent.meanings:
            recent.meanings[text] = self._interpret(text, context)
        return recent.meanings[text]

    def _interpret(self, text: str, context: Context) -> tuple[Meaning, ...]:
        if len(text) > _MOST_LETTERS:
            return _refused(text, Reason.TOO_LONG)
        tokens = tokenise(text, self.grammar.spellings)
        if not tokens:
            return _refused(text, Reason.OUT_OF_GRAMMAR if text.strip() else Reason.SILENCE)
        if len(tokens) > _MOST_TOKENS:
            return _refused(text, Reason.TOO_LONG)
        chart = Chart(self._tries, tokens)
        rest = _after_a_question(text, tokens)
        if rest:
            again = self._understood(text, rest, Chart(self._tries, rest), context)
            if not all(isinstance(item, Rejection) for item in again[0].items):
                return again
        stated = without_cleft(tokens)
        if stated:
            tokens, chart = stated, Chart(self._tries, stated)
        found = self._understood(text, tokens, chart, context)
        found = self._guesses.instead(found, text, tokens, chart, context)
        if all(isinstance(item, Rejection) for item in found[0].items):
            return self._asked_of_a_state(text, tokens, context) or found
        return found

    def _asked_of_a_state(self, text: str, tokens: tuple[Token, ...], context: Context) -> tuple[Meaning, ...]:
        """Whether it is so is asked of what could be stated: answered by where it stands, or by what seals it."""
        stated = statement_of(tokens)
        items = () if stated is None else self._understood(text, stated, Chart(self._tries, stated), context)[0].items
        readings = [item for item in items if isinstance(item, Reading)]
        if not readings or len(readings) < len(items):
            return ()
        of_a_seal = all(reading.measurands == {Measurand.SEAL} for reading in readings)
        return (Meaning(text, (Command("what-seals-it" if of_a_seal else "where-are-we", text),), 0.0),)

    def _understood(self, text: str, tokens: tuple[Token, ...], chart: Chart, context: Context) -> tuple[Meaning, ...]:
        """What phrases say; where need be in known words for a gauge that fits or does not, without what says that one
        is not sure, or without words that carry nothing."""

        def read(words: tuple[Token, ...]) -> tuple[Meaning, ...]:
            again = Chart(self._tries, words)
            return _each_once(segment.meanings(text, words, again, context, self._scene))

        found = _each_once(segment.meanings(text, tokens, chart, context, self._scene))
        grammar = self.grammar
        if any(token.text in grammar.fit_words.gaps for token in tokens) or loosening.leaves_words(found[0]):
            fits = fitting.rewritten(tokens, chart, grammar.fit_words, turning=grammar.weighty)
            if fits is not None and not loosening.leaves_words((again := read(fits))[0]):
                return again
        sure = loosening.without_doubt(tokens, chart)
        if sure is not None:
            again = self._understood(text, sure, Chart(self._tries, sure), context)
            items = again[0].items
            if not loosening.leaves_words(again[0]) and (
                any(isinstance(item, Reading) for item in items) or all(map(tells_nothing, items))
            ):
                return tuple(map(loosening.perhaps, again))
        if not loosening.leaves_words(found[0]):
            return found
        sure = loosening.without_perhaps(tokens, chart)
        if sure is not None:
            again = read(sure)
            if not loosening.leaves_words(again[0]) and all(isinstance(item, Reading) for item in again[0].items):
                return tuple(map(loosening.perhaps, again))
        looser = loosening.without_hollow(tokens, chart, yes_no=context.yes_no)
        if looser and looser != tokens:
            again = read(looser)
            if not loosening.leaves_words(again[0]):
                return again
        return found

    def merge(self, alternatives: Sequence[Alternative], context: Context) -> tuple[Meaning, ...]:
        """Alternatives with one meaning become one, their probabilities summed; best first, weights sum to one.

        The context weighs the meanings of each text; it does not weigh one text against another: an engine that
        wants that adds :meth:`log_prior` to its scores once.
        """
        return _each_once(
            replace(meaning, log_weight=alternative.log_probability + meaning.log_weight)
            for alternative in alternatives
            for meaning in self.interpret(alternative.text, context)
        )

    def log_prior(self, meaning: Meaning, context: Context) -> float:
        """How much likelier this meaning is in itself (its values exist, it speaks of what is talked of) and in the
        context; 0 where there is no opinion."""
        return self._priors.meaning(meaning, context)

    def is_unusual(self, option: Option) -> bool:
        """Whether no leaf, gauge or size has such a value, as far as the grammar lists them."""
        return self._priors.is_unusual(option)

    def constraint(self, context: Context) -> str:
        """A Lark-style grammar of the texts an engine may write: of all the language, or, where something was
        asked, of what answers it and of the commands."""
        key = (frozenset(context.expected), context.misfit, context.spelling)
        if key not in self._constraints:
            self._constraints[key] = constraint.lark(self.grammar, context)
        return self._constraints[key]

    def ends_in_number(self, text: str) -> bool:
        """Whether the last word may be the first of a longer number: "outside one" may become one and a half."""
        last = text.casefold().split()[-1:]
        return bool(last) and (last[0][-1].isdigit() or last[0].rpartition("-")[2] in self._number_words)

    def vocabulary(self) -> frozenset[str]:
        """All words, lower case, spelled out: without digits, signs and what is only written so (mm, NPT)."""
        return frozenset(word for word in all_words(self.grammar, spoken=True) if word[0].isalpha())

    def say_name(self, name: str) -> str:
        """A spelled name for the ear, letter by letter: "AB-12" as "alpha bravo dash one two"."""
        return say_name(name, self.grammar.letters)

    def examples(self, measurand: Measurand) -> tuple[str, ...]:
        """Ways to say a reading of that measurand, one from each entry of the grammar."""
        return examples.of(self.grammar, measurand)


def _in_order(grammar: Grammar) -> tuple[str, ...]:
    """The commands, in the order of the grammar."""
    forms = (*grammar.rules["command"], *grammar.rules["spelled"])
    return tuple(dict.fromkeys(form.maker.id for form in forms))


def _after_a_question(text: str, tokens: Sequence[Token]) -> tuple[Token, ...]:
    """What follows a question that the text begins with: "did I say male? I meant female"."""
    end = text.find("?") + 1
    rest = tuple(token for token in tokens if token.start >= end) if end else ()
    asked = tokens[: len(tokens) - len(rest)]
    return rest if rest and asked and asks(asked) else ()


def _each_once(meanings: Iterable[Meaning]) -> tuple[Meaning, ...]:
    """Meanings that say the same are one, with the weight of all; best first, weights sum to one."""
    found: dict[tuple[object, ...], Meaning] = {}
    for meaning in meanings:
        key = tuple(map(item_key, meaning.items))
        known = found.get(key)
        if known is None:
            found[key] = meaning
        else:
            found[key] = replace(known, log_weight=segment.log_add(known.log_weight, meaning.log_weight))
    return segment.normalised(list(found.values())) if found else ()


def _refused(text: str, reason: Reason) -> tuple[Meaning, ...]:
    quoted = leftovers.quoted(text)
    return (Meaning(quoted, (Rejection(quoted, reason),), 0.0),)
