"""The spoken language: text in, meanings out; and what an engine needs to hear it.

Duty: hold the compiled grammar and answer for it. Every text has an answer: what is not understood comes back as a
named rejection, never as an exception and never as nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from voicefit.interpretation import (
    answered_first,
    asked_by_name,
    asked_of_pieces,
    constraint,
    elsewhere,
    examples,
    remarks,
    screws,
    whence,
)
from voicefit.interpretation.amounts import Amount, amount
from voicefit.interpretation.chart import ONE_NUMBER
from voicefit.interpretation.grammar import Grammar, all_words, number_words
from voicefit.interpretation.kinds import ASIDE, BEYOND, SentenceClassifier
from voicefit.interpretation.loading import load_grammar
from voicefit.interpretation.loosening import leaves_words
from voicefit.interpretation.parts import letters
from voicefit.interpretation.spelling import say_name
from voicefit.interpretation.tokens import Token
from voicefit.interpretation.trimming import weighed_anew
from voicefit.interpretation.understanding import Understanding
from voicefit.interpretation.wordgroups import is_number
from voicefit.records import Command, Context, Item, Meaning, Measurand, Option, Reading, Reason, Rejection, item_key

_KEPT = 256
_LONGEST = 300  # letters of what is looked through for numbers of another place
_ANSWERS = frozenset({"yes", "no", "cannot-tell"})
_OF_ENDS = frozenset({"what-seals-it", "sealant", "sizes", "which-hose"})  # an end has a seal, a thread, a hose too
_WHOLE, _MOST, _NOTHING_KNOWN = 0.85, 0.5, Context()  # shares of the letters of what an engine wrote freely
_LONE_LETTER = re.compile(r"(?<![\w'])[b-hj-z](?![\w'])")  # "one t go in": a word that was cut in two


@dataclass(frozen=True, slots=True)
class _Recent:
    """What texts mean in one context. An engine weighs the texts that the session then asks about again."""

    context: Context
    meanings: dict[str, tuple[Meaning, ...]] = field(default_factory=dict)


class Language:
    """The product's :class:`voicefit.recognition.protocol.SpokenLanguage`."""

    def __init__(self, grammar: Grammar, classifier: SentenceClassifier | None = None) -> None:
        self.grammar = grammar
        self._classifier = classifier
        self._understanding = Understanding(grammar, classifier)
        self._number_words = number_words(grammar)
        self._constraints: dict[object, str] = {}
        self._alarms = frozenset(alarm.command for alarm in grammar.alarms)
        self._costly = grammar.costly
        self._recent = _Recent(_NOTHING_KNOWN)
        self._countries: dict[str, Reading | None] = {}  # by the words of the language

    @classmethod
    def from_texts(
        cls,
        texts: Mapping[str, str],
        series_words: Mapping[str, Sequence[str]] | None = None,
        hose_words: Mapping[str, Sequence[str]] | None = None,
        other_words: Mapping[str, Mapping[str, Sequence[str]]] | None = None,
        classifier: SentenceClassifier | None = None,
    ) -> Language:
        """From the texts of ``grammar/`` by file name, and what people call each series, each hose type and what else
        commands speak of (id -> phrases, in the notation of the grammar; ``other_words`` : likewise, by slot).
        ``classifier`` : tells of what kind a sentence is that no phrase takes; without one it is refused.

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
            ),
            classifier,
        )

    def interpret(self, text: str, context: Context = _NOTHING_KNOWN) -> tuple[Meaning, ...]:
        """What the text may mean, best first; weights (``log_weight``) sum to one. Never raises on text.

        The weights compare meanings of this one text in this context; they do not weigh one text against another: an
        engine that wants that adds :meth:`log_prior` to its scores once. Unsaid units and measurands are options of
        one reading; other words or another cut are other meanings.
        """
        recent = self._recent
        if recent.context != context or len(recent.meanings) >= _KEPT:
            recent = self._recent = _Recent(context)
        if text not in recent.meanings:
            recent.meanings[text] = _each_once(
                replace(meaning, items=tuple(map(weighed_anew, meaning.items)))
                for meaning in answered_first.of(text, context, self._of_here_and_now, self._classifier)
            )
        return recent.meanings[text]

    def _of_here_and_now(self, text: str, context: Context) -> tuple[Meaning, ...]:
        """The meanings, with a number at another place or time refused alone where more is told."""
        tokens = self._understanding.standard(text) if len(text) <= _LONGEST else ()
        rest, moved = elsewhere.without_moved(text, tokens, self._understanding.chart(tokens)) if tokens else (text, ())
        found = self._with_names(rest, context) if moved and rest else ()
        if not found or not any(isinstance(item, Reading) for item in found[0].items):
            found = self._with_names(text, context)
            if remarks.is_all(text, self._classifier):
                return found
            return self._without_remarks(self._without_machine(text, tokens, found, context), text, context)
        refused = tuple(Rejection(each, Reason.OUT_OF_GRAMMAR, each) for each in moved)
        return tuple(replace(meaning, text=text, items=(*meaning.items, *refused)) for meaning in found)

    def _without_remarks(self, found: tuple[Meaning, ...], text: str, context: Context) -> tuple[Meaning, ...]:
        """What is found, or what is meant without the remarks in it, where that leaves fewer words over."""
        if self._classifier is None or len(text) > _LONGEST or not leaves_words(found[0]):
            return found
        rest = remarks.without(text, self._classifier)
        again = self._with_names(rest, context) if rest else found
        refused, left = (sum(isinstance(item, Rejection) for item in each[0].items) for each in (found, again))
        known, told = ({item_key(i) for i in each[0].items if not isinstance(i, Rejection)} for each in (found, again))
        if left >= refused or not known <= told:
            return found
        return tuple(replace(meaning, text=text) for meaning in again)

    def _with_names(self, text: str, context: Context) -> tuple[Meaning, ...]:
        """The meanings, with what is asked by its bare name behind the readings."""
        if calls := asked_of_pieces.asked(text, self.grammar.asked_as, _OF_ENDS):
            return (Meaning(text, calls, 0.0),)
        if told := asked_by_name.again(text, self.grammar.asked_as):
            return (Meaning(text, (told,), 0.0),)
        head, asked = asked_by_name.behind(text, self.grammar.asked_as, _OF_ENDS)
        found = self._understanding.interpret(head, context)
        if not asked or not any(isinstance(item, Reading) for item in found[0].items):
            found = found if head == text else self._understanding.interpret(text, context)
            refused = all(isinstance(item, Rejection) for item in found[0].items)
            called = asked_by_name.alone(text, self.grammar.asked_as) if refused else ()
            return (Meaning(text, called, 0.0),) if called else found
        return tuple(replace(meaning, text=text, items=(*meaning.items, *asked)) for meaning in found)

    def _without_machine(
        self, text: str, tokens: Sequence[Token], found: tuple[Meaning, ...], context: Context
    ) -> tuple[Meaning, ...]:
        """What was found, or what is understood without the words of the machine that it came off, where all of the
        rest is then understood, and nothing is lost that was said in words that are known."""
        if not tokens or context.spelling:
            return found
        chart = self._understanding.chart(tokens)
        told = whence.cut(text, tokens, chart, self.grammar.weighty | self._number_words, self._country)
        if told is None:
            return found
        known = [item for item in found[0].items if _is_plain(item)]
        if len(known) == len(found[0].items):  # all is understood, perhaps but where the machine was built
            said = {m for item in known if isinstance(item, Reading) for m in item.measurands}
            more = () if Measurand.COUNTRY in said or not all(isinstance(i, Reading) for i in known) else told.origin
            return tuple(replace(each, items=(*each.items, *more)) for each in found)
        for rest in told.rests:
            again = self._with_names(rest, context)
            items = (*again[0].items, *told.origin)
            said = {m for item in items if isinstance(item, Reading) for m in item.measurands}
            lost = any(not isinstance(item, Reading) or said.isdisjoint(item.measurands) for item in known)
            tells = any(isinstance(item, Reading) for item in again[0].items)
            if tells and not lost and all(map(_is_plain, again[0].items)):
                return tuple(replace(each, text=text, items=(*each.items, *told.origin)) for each in again)
        return found

    def _country(self, word: str) -> Reading | None:
        """What a word before a machine says of where that was built."""
        if word not in self._countries and self._understanding.knows_every_word(word):
            items = self._understanding.interpret(f"{word} machine", _NOTHING_KNOWN, guesses=False)[0].items
            named = [i for i in items if isinstance(i, Reading) and i.measurands == {Measurand.COUNTRY}]
            self._countries[word] = named[0] if len(items) == len(named) == 1 else None
        return self._countries.get(word)

    def amount(self, text: str) -> Amount | None:
        """How many a text says that says nothing but how many: "no, ten", "half a dozen then"."""
        tokens = self._understanding.standard(text)
        return amount(tokens, self._understanding.chart(tokens)) if tokens else None

    def screw(self, text: str, asked: Sequence[str] = ()) -> str | None:
        """The figures of a text that tells a size of a screw, its class or both, and nothing else; ``asked`` : of which
        sizes it was asked which."""
        tokens = self._understanding.standard(text)
        return screws.told(tokens, self._understanding.chart(tokens), asked) if tokens else None

    def log_prior(self, meaning: Meaning, context: Context) -> float:
        """How much likelier this meaning is in itself (its values exist, it speaks of what is talked of) and in the
        context; 0 where there is no opinion."""
        return self._understanding.priors.meaning(meaning, context)

    def takes_freely(self, meaning: Meaning) -> bool:
        """Whether this may be taken of words that the constraint has not got.

        Readings, answers and alarms, where every word is one of the language, or hardly one was passed over: in a word
        that is not may hide a "won't" that was misheard. Other commands where phrases alone say so, for most of the
        text, and they cost nothing: by some of their words alone so many are understood that talk among people would
        call them; three in ten sentences do.
        """
        if any(
            isinstance(item, Rejection) or (isinstance(item, Command) and item.name in self._costly)
            for item in meaning.items
        ) or _LONE_LETTER.search(_passed_over(meaning)):
            return False
        known = self._understanding.knows_every_word(meaning.text)
        if all(not isinstance(item, Command) or item.name in _ANSWERS | self._alarms for item in meaning.items):
            return known or _told(meaning) >= _WHOLE
        phrased = self._understanding.interpret(meaning.text, _NOTHING_KNOWN, guesses=False)[0]
        said = not any(isinstance(item, Rejection) for item in phrased.items) and _told(phrased) >= _MOST
        return known and said and not _LONE_LETTER.search(_passed_over(phrased))

    def number_in(self, text: str) -> str:
        """The words from the first number, which is no mere pronoun ("the small one"), to the last; empty without."""
        tokens = self._understanding.standard(text)
        words = [token.text for token in tokens]
        places = [at for at in range(len(words)) if is_number(words, at, self._number_words)]
        chart = self._understanding.chart(tokens)
        if not any(chart.match(rule, at) for at in places for rule in ONE_NUMBER):
            return ""  # "over" alone is a word of fractions
        return text[tokens[places[0]].start : tokens[places[-1]].end] if places else ""

    def says_a_unit(self, text: str) -> bool:
        """Whether a word of the text is a unit."""
        return self._understanding.says_a_unit(text)

    def is_unusual(self, option: Option) -> bool:
        """Whether no leaf, gauge or size has such a value, as far as the grammar lists them."""
        return self._understanding.priors.is_unusual(option)

    def constraint(self, context: Context) -> str:
        """A Lark-style grammar of the texts an engine may write: of all the language, or, where something was
        asked, of what answers it and of the commands."""
        key = (frozenset(context.expected), context.misfit, context.gauged, context.spelling)
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


def _each_once(meanings: Iterable[Meaning]) -> tuple[Meaning, ...]:
    """Meanings of the same items as one, as likely as all of these: what told them apart may have been left out."""
    found: dict[tuple[object, ...], Meaning] = {}
    for meaning in meanings:
        key = tuple(map(item_key, meaning.items))
        same = found.get(key)
        weight = meaning.log_weight if same is None else float(np.logaddexp(same.log_weight, meaning.log_weight))
        found[key] = replace(same or meaning, log_weight=weight)
    return tuple(sorted(found.values(), key=lambda meaning: -meaning.log_weight))


def _is_plain(item: Item) -> bool:
    """Whether phrases took it, and it tells or asks something."""
    if isinstance(item, Reading):
        return not item.guessed
    return isinstance(item, Command) and item.name not in (ASIDE, BEYOND)


def _told(meaning: Meaning) -> float:
    """The share of the letters that the items were heard in."""
    heard = {item.heard for item in meaning.items if not isinstance(item, Rejection)}
    return sum(map(letters, heard)) / max(1, letters(meaning.text))


def _passed_over(meaning: Meaning) -> str:
    """The text without what its items were heard in, in small letters."""
    text = meaning.text
    for item in meaning.items:
        if not isinstance(item, Rejection):
            text = text.replace(item.heard, " ")
    return text.casefold()
