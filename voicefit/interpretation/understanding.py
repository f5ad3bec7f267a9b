"""One text to its meanings: the steps from words to what was meant, and what is tried where words were left over.

How it works. The tokens of a text are put into standard words and mended. Of what a later clause denies, and of
alternatives, it is decided clause by clause; else the phrases say what was said (``segment``). Where words were left
over, the text is read again in known words for a gauge that fits or does not, without what says that one is not sure,
without words that carry nothing, without articles; and what is then understood without a rest is taken. What is still
not understood is guessed (``guessing``). What is not told of the end in hand is left out (``witness``).

Duty: the order of these steps. It must not know phrases.
"""

from __future__ import annotations

from functools import lru_cache, partial

from voicefit.interpretation import (
    asked,
    dialect,
    disfluency,
    echoes,
    elsewhere,
    fitting,
    leftovers,
    loosening,
    other_things,
    pieces,
    retracting,
    screws,
    segment,
    swaps,
)
from voicefit.interpretation.asking import asks, without_cleft
from voicefit.interpretation.calls import keeping_of
from voicefit.interpretation.chart import ONE_NUMBER, Chart, Tries
from voicefit.interpretation.counting import refused_values
from voicefit.interpretation.grammar import Grammar, all_words, name_words, number_words, numeric_words
from voicefit.interpretation.guessing import Guesses
from voicefit.interpretation.in_a_row import only_answered
from voicefit.interpretation.kinds import CANNOT_TELL, SentenceClassifier
from voicefit.interpretation.priors import Priors
from voicefit.interpretation.readings import Makers
from voicefit.interpretation.repairs import ASIDE, tells_nothing
from voicefit.interpretation.scene import Scene
from voicefit.interpretation.tokens import Token, expand
from voicefit.interpretation.whose_ring import in_its_seat, of_the_face
from voicefit.interpretation.witness import Witness, is_the_answer
from voicefit.records import Command, Context, Meaning, Reading, Reason, Rejection

_MOST_LETTERS = 1_000
_MOST_TOKENS, _CHARTS_KEPT = 80, 8
_CRESTS = frozenset({"thread", "threads", "teeth", "turns"})  # counted, and much else said of them
_HALVES = frozenset({"not", "neither", "only"})  # that a gauge fits, or not, is said with these
_PAUSE, _TELL_NOTHING = "pause", frozenset({ASIDE, CANNOT_TELL})


class Understanding:
    """What texts mean, by one grammar."""

    def __init__(self, grammar: Grammar, classifier: SentenceClassifier | None = None) -> None:
        self._grammar = grammar
        self._tries = Tries(grammar, Makers(grammar))
        self.chart = lru_cache(_CHARTS_KEPT)(partial(Chart, self._tries))  # the steps read the same tokens again
        self._words = frozenset(part for word in all_words(grammar) for part in expand(word).split())
        self.priors = Priors(grammar)
        self._number_words = number_words(grammar)
        self._name_words = name_words(grammar)
        self._units = frozenset(
            word for word in numeric_words(grammar) - self._number_words if len(word) > 1 and word not in _CRESTS
        )
        self._scene = Scene(
            self._words,
            grammar.weighty,
            numeric_words(grammar),
            self._number_words,
            self.priors,
            one_number=(*ONE_NUMBER, *(name for name in grammar.rules if name.endswith("-form"))),
            addressed=grammar.addressed,
            numbered=grammar.numbered,
            other_units=grammar.other_units,
            commands=grammar.commands_in_order,
            perhaps=grammar.certainty["perhaps"],
            gaps=grammar.fit_words.gaps,
        )
        self._read = partial(segment.read, scene=self._scene)
        self._alarms = frozenset(alarm.command for alarm in grammar.alarms)
        self._guesses = Guesses(grammar, self._words, classifier)
        self._witness = Witness(classifier, grammar.weighty, self._number_words, self._alarms)

    def knows_every_word(self, text: str) -> bool:
        """Whether some phrase has each word of the text."""
        tokens = self.standard(text)
        return all(token.text in self._words or not token.text[0].isalpha() for token in tokens)

    def says_a_unit(self, text: str) -> bool:
        return not self._units.isdisjoint(token.text for token in self.standard(text))

    def interpret(self, text: str, context: Context, *, guesses: bool = True) -> tuple[Meaning, ...]:
        """Meanings, best first. ``guesses``: what no phrase took is guessed by its words."""
        tokens = self.standard(text) if guesses and len(text) <= _MOST_LETTERS and not context.spelling else ()
        if not tokens or len(tokens) > _MOST_TOKENS or self._kept_as_said(text, tokens):
            return self._of_one(text, context, guesses=guesses)
        says, chart = partial(self._of_one, guesses=True), self.chart(tokens)
        named = screws.taken_out(text, tokens, chart, partial(self.interpret, context=context))
        if named := named or pieces.said_of_pieces(text, tokens, chart, says, context, self._units | _CRESTS):
            return named
        found = self._of_one(text, context, guesses=True)
        return says(text, pieces.bare(context)) if pieces.is_of_its_end(found[0], context) else found

    def _of_one(self, text: str, context: Context, *, guesses: bool) -> tuple[Meaning, ...]:
        meanings = self._meanings(text, context, guesses=guesses)
        kept = (retracting.without_rest(meaning, self._grammar.recording) for meaning in meanings)
        mended = (of_the_face(only_answered(in_its_seat(meaning), context), context) for meaning in kept)
        asked = map(retracting.without_only_asked, map(other_things.without, mended))
        tokens = self.standard(text)[:_MOST_TOKENS] if len(text) <= _MOST_LETTERS else ()
        own = (retracting.without_hearsay(meaning, tokens, self.chart(tokens)) for meaning in asked)
        found = echoes.denying_less(tuple(own))
        if not guesses or without_cleft(self.standard(text)):
            return found  # "what I have here is a male" tells it
        return tuple(each if is_the_answer(each, context) else self._witness.borne_out(each) for each in found)

    def _meanings(self, text: str, context: Context, *, guesses: bool) -> tuple[Meaning, ...]:
        if len(text) > _MOST_LETTERS:
            return leftovers.refused(text, Reason.TOO_LONG)
        tokens = self.standard(text)
        if not tokens:
            return leftovers.refused(text, Reason.OUT_OF_GRAMMAR if text.strip() else Reason.SILENCE)
        if len(tokens) > _MOST_TOKENS:
            return leftovers.refused(text, Reason.TOO_LONG)
        if kept := self._kept_as_said(text, tokens):
            return kept
        tokens = self._mended(text, tokens, context)
        found = self._as_one(text, tokens, context, guesses=guesses)
        reader = asked.Asked(
            words=lambda part: self._mended(part, words, context) if (words := self.standard(part)) else (),
            says=lambda part, words: self._as_one(part, words, context, guesses=guesses)[0].items,
            understands=lambda part, words: self._understood(part, words, self.chart(words), context)[0].items,
            chart=self.chart,
            grammar=self._grammar,
        )
        items = reader.in_parts(text, tokens, found[0], context, self._alarms)
        items = found[0].items if items is None else items
        if all(isinstance(item, Rejection) or item == Command(ASIDE, item.heard) for item in items):
            pauses = any(call.name == _PAUSE for _, call, _ in self.chart(tokens).match("command", 0))
            items = (Command(_PAUSE, text),) if pauses else items
        return found if items is found[0].items else (Meaning(text, items, 0.0),)

    def _kept_as_said(self, text: str, tokens: tuple[Token, ...]) -> tuple[Meaning, ...]:
        """What a text says that begins with a command that keeps the words behind it: "note, bring a cap"."""
        kept = keeping_of(self.chart(tokens).match("command", 0), tokens, self._grammar.keeping)
        if kept is None:
            return ()
        name, start = kept
        return (Meaning(text, (Command(name, text, argument=text[start:].strip()),), 0.0),)

    def standard(self, text: str) -> tuple[Token, ...]:
        grammar = self._grammar
        return dialect.standard(text, grammar.spellings, grammar.dialect, self._words, self._number_words)

    def _as_one(self, text: str, tokens: tuple[Token, ...], context: Context, *, guesses: bool) -> tuple[Meaning, ...]:
        chart = self.chart(tokens)
        found = self._told(text, tokens, chart, context, guesses=guesses)
        if any(
            isinstance(item, Command) and (item.name in self._alarms or leftovers.is_whole(item, text))
            for item in found[0].items
        ):
            return found
        own = self._witness.own_words(text, tokens) if guesses and self._witness.is_doubtful(found[0]) else None
        if own:
            again = self._told(text, own, self.chart(own), context, guesses=guesses)
            lost = refused_values(found[0].items)
            items = again[0].items
            if not lost and all(map(leftovers.tells, items)) and any(isinstance(i, Reading) for i in items):
                return again
        tells = any(map(leftovers.tells, found[0].items))
        own = elsewhere.own_words(tokens)
        again = self._told(text, own, self.chart(own), context, guesses=guesses) if own else ()
        if again and any(isinstance(item, Reading) for item in again[0].items):
            return again
        others = tells or loosening.leaves_words(found[0]) or elsewhere.weighs(tokens)
        others = others or all(isinstance(i, Command) and i.name in _TELL_NOTHING for i in found[0].items)
        mine = (
            elsewhere.without_others(tokens, chart, self._grammar.observes, self._words - self._name_words)
            if others
            else None
        )
        if mine is None:
            return found
        if not mine and any(isinstance(item, Command) and item.name == CANNOT_TELL for item in found[0].items):
            return found
        if not mine:
            return (Meaning(text, (Command(ASIDE, text),), 0.0),)
        return self._told(text, mine, self.chart(mine), context, guesses=guesses)

    def _told(
        self, text: str, tokens: tuple[Token, ...], chart: Chart, context: Context, *, guesses: bool
    ) -> tuple[Meaning, ...]:
        """What is meant by the tokens, by phrases or by guess."""
        stated = without_cleft(tokens)
        if stated:
            tokens, chart = stated, self.chart(stated)
        echoed = self._echoed(text, tokens, chart, context)
        if echoed:
            return echoed
        found = self._understood(text, tokens, chart, context)
        if echoes.alternatives(tokens, chart) > 1 and any(isinstance(item, Rejection) for item in found[0].items):
            return leftovers.refused(text, Reason.OUT_OF_GRAMMAR)  # half of a choice says nothing
        sure = swaps.sets_right(tokens, found[0])
        if sure or (loosening.leaves_words(found[0]) and not (guesses and self._witness.is_talk(text))):
            told = self._witness.told(text) if guesses and not sure else ()
            correction = swaps.swapped(text, tokens, chart, self._scene.perhaps, told)
            if correction is not None:
                return (Meaning(text, (correction,), 0.0),)
        if not guesses:
            return found
        return self._guesses.instead(found, text, tokens, chart, context)

    def _mended(self, text: str, tokens: tuple[Token, ...], context: Context) -> tuple[Token, ...]:
        """The tokens as they were meant in the end."""
        return disfluency.mended(
            text,
            tokens,
            self.chart,
            numbers=self._scene.numeric | self._name_words,
            counts=self._number_words,
            units=self._units,
            known=self._words,
            turning=self._grammar.weighty,
            yes_no=context.yes_no,
        )

    def _echoed(self, text: str, tokens: tuple[Token, ...], chart: Chart, context: Context) -> tuple[Meaning, ...]:
        """What is understood where a later clause denies what came before it; nothing where none does."""
        denial = echoes.denial(tokens, chart)
        if denial is None or (context.yes_no and not denial.of_it):
            return ()
        before, after = (
            self._understood(text, part, self.chart(part), context)[0].items if part else ()
            for part in (tokens[: denial.start], tokens[denial.end :])
        )
        said = echoes.denied(before, surely=denial.of_it)
        if said is not None and not denial.of_it:
            replaced = echoes.without_replaced(before, after)
            said = said if replaced is None else replaced
        if said is not None:
            return (Meaning(text, (*said, *after), 0.0),)
        drops = after and not any(isinstance(item, Reading) for item in before)
        return (Meaning(text, after, 0.0),) if drops else ()  # "there's a, no there isn't, there's no washer"

    def _understood(self, text: str, tokens: tuple[Token, ...], chart: Chart, context: Context) -> tuple[Meaning, ...]:
        """What phrases say; where need be in known words for a gauge that fits or does not, without what says that one
        is not sure, without words that carry nothing, or without articles."""
        found, grammar = self._read(text, tokens, chart, context), self._grammar
        left = loosening.leaves_words(found.meanings[0])
        if left or any(token.text in grammar.fit_words.gaps or token.text in _HALVES for token in tokens):
            fits = fitting.rewritten(tokens, chart, grammar.fit_words, turning=grammar.weighty)
            if fits is None:
                fits = fitting.clause_by_clause(tokens, self.chart, grammar.fit_words, turning=grammar.weighty)
            again = None if fits is None else self._read(text, fits, self.chart(fits), context)
            if again is not None and not loosening.leaves_words(again.meanings[0]):
                return again.meanings
        whole = any(isinstance(i, Command) and leftovers.is_whole(i, text) for i in found.meanings[0].items)
        sure = None if whole or asks(tokens) else loosening.without_doubt(tokens, chart, self._words)
        if sure is not None:
            told = self._understood(text, sure, self.chart(sure), context)
            items = told[0].items
            says = any(isinstance(item, Reading) for item in items) or all(map(tells_nothing, items))
            if says and (left or not loosening.leaves_words(told[0])):
                return tuple(loosening.doubted(meaning, self._scene.perhaps) for meaning in told)
        certain = loosening.without_perhaps(tokens, chart) if left else None
        if certain is not None:
            again = self._read(text, certain, self.chart(certain), context)
            whole = not again.unread and not loosening.leaves_words(again.meanings[0])
            if whole and all(isinstance(item, Reading) for item in again.meanings[0].items):
                return tuple(loosening.doubted(meaning, self._scene.perhaps) for meaning in again.meanings)
        looser = loosening.without_hollow(tokens, chart, yes_no=context.yes_no) if left else tokens
        for words in loosening.other_ways(tokens, looser, chart) if left else ():
            again = self._read(text, words, self.chart(words), context) if words and words != tokens else None
            if again is not None and not loosening.leaves_words(again.meanings[0]):
                return again.meanings
        for words in (tokens, looser or tokens):
            bare = self._without_articles(text, words, context, found)
            if bare is not found.meanings:
                return bare
        return found.meanings

    def _without_articles(
        self, text: str, tokens: tuple[Token, ...], context: Context, found: segment.Read
    ) -> tuple[Meaning, ...]:
        """What is found, or what no phrase needs its articles for, where that is understood to the last word."""
        left = loosening.leaves_words(found.meanings[0]) or found.unread > 0
        lacks = left or loosening.lacks_an_article(tokens)
        bare = loosening.without_articles(tokens, self._scene.numeric | self._scene.addressed) if lacks else ()
        if not bare:
            return found.meanings
        again = self._read(text, bare, Chart(self._tries, bare, bare=True), context)
        whole = not again.unread and not loosening.leaves_words(again.meanings[0])
        calls = [{i.name for i in read.meanings[0].items if isinstance(i, Command)} for read in (again, found)]
        whole = whole and calls[0] <= calls[1]
        fewer = len(again.meanings[0].items) < len(found.meanings[0].items)
        return again.meanings if whole and (left or fewer) else found.meanings
