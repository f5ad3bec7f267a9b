"""What was not understood, by the words in it: a command, an answer or a reading, or nothing.

How it works. Alarms come before all (``gist.alarm``). Of a text that no phrase took, its gist (a command or an answer)
and its cues (a reading) are weighed: the one with the more groups of words that speak for it wins; of equals first the
reading that answers what was asked, then the gist, then any other reading. Whoever asks states nothing: a question has
a gist alone. Where a part of a text was taken, each part that was not may be a reading by its cues, of a thing that is
not spoken of besides.

Duty: this choice. It must not read the words (``gist``, ``cues``) and must not search (``segment``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from voicefit.interpretation import cues, gist, loosening, parts
from voicefit.interpretation.asking import PERSONS, asks
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.dialect import standard
from voicefit.interpretation.grammar import Grammar, answers_now, number_words, rule_name
from voicefit.interpretation.notation import Word
from voicefit.interpretation.priors import of_the_ring_asked
from voicefit.interpretation.tokens import Token
from voicefit.interpretation.wordgroups import Found, is_number
from voicefit.quantities import Quantity
from voicefit.records import O_RING, Command, Context, Item, Meaning, Measurand, Reading, Reason, Rejection

_PASSED = ("list-passed", "list-skipped", "list-hollow", "list-a")
_OPENERS = frozenset({"and", "but", "so", "well", "ok", "okay", "right", "hey", "oh", "now", "then", "please", "sorry"})
_OTHER_THINGS_TOO = frozenset({"in", "o", "oh", "over", "s", "point", "negative"})  # words of numbers, and of much else
_SIDES = {"outside": Measurand.OUTSIDE_DIAMETER, "inside": Measurand.INSIDE_DIAMETER}
_GIVES_UP = frozenset({"cannot-tell", "none-fits", "no-gauge"})
_ASIDE = "aside"
_SUBJECTS = PERSONS | {"it", "this", "that", "nobody", "everybody", "my", "our", "let"}
_SENTENCE = 3  # words
_SEVERAL = 2  # groups
_WHOLE = 0.8  # of a text's letters: its readings say all of it
_OF_A_PART = frozenset({Measurand.SEAL, Measurand.SEAT_FORM})
_NOT_TAKEN = frozenset({Reason.OUT_OF_GRAMMAR, Reason.INCOMPLETE})


class Guesses:
    """The guesses of one grammar."""

    def __init__(self, grammar: Grammar, known: frozenset[str]) -> None:
        self._grammar, self._known = grammar, known
        self._alarms = grammar.alarms
        self._numbers = number_words(grammar) - _OTHER_THINGS_TOO
        self._nothing = (grammar.addressed | grammar.cues.words.bystanders).union(
            *(_single_words(grammar, rule) for rule in _PASSED)
        )

    def instead(
        self, found: tuple[Meaning, ...], text: str, tokens: Sequence[Token], chart: Chart, context: Context
    ) -> tuple[Meaning, ...]:
        """The meanings of a text, or what is guessed instead."""
        words = [token.text for token in tokens]
        rung = gist.alarm(found, text, words, self._grammar.gists, self._words_of)
        if rung is not None:
            return rung
        items = found[0].items
        if any(isinstance(item, Command) and item.name in self._alarms for item in items):
            told = tuple(item for item in items if not isinstance(item, Rejection))  # nobody asks for words now
            return (replace(found[0], items=told, log_weight=0.0),)
        outweighed = self._outweighed(items, text, words, context)
        if outweighed is not None:
            return (Meaning(text, (outweighed,), 0.0),)
        if not any(_is_not_taken(item) for item in items):
            return self._answer_instead(found, text, words, tokens, chart, context)
        if all(isinstance(item, Rejection) for item in items):
            whole = self._whole(text, words, tokens, chart, context)
            if whole is None and self._is_of_something_else(tokens, chart):
                whole = Command(_ASIDE, text)
            return found if whole is None else (Meaning(text, (whole,), 0.0),)
        if asks(tokens):
            return found
        refined = self._refined(items, text, words, context)
        if refined is not None:
            return (Meaning(text, (refined,), 0.0),)
        kept = self._in_parts(items, text, context)
        return found if kept is items else (replace(found[0], items=kept, log_weight=0.0),)

    def _answer_instead(
        self,
        found: tuple[Meaning, ...],
        text: str,
        words: Sequence[str],
        tokens: Sequence[Token],
        chart: Chart,
        context: Context,
    ) -> tuple[Meaning, ...]:
        """The meanings, or the answer of which more words speak than were taken for commands, or for what was not
        asked: "same size front and back" does not ask to go back."""
        items = found[0].items
        commands = [item for item in items if isinstance(item, Command)]
        readings = [item for item in items if isinstance(item, Reading)]
        asked = frozenset(context.expected)
        if not asked or (commands and readings) or _asks(tokens, chart):
            return found
        guess = self._guess(text, words, context)
        if guess is None or not guess.answers or guess.groups < _SEVERAL:
            return found
        if commands and guess.groups <= sum(len(self._words_of(each.heard)) for each in commands):
            return found
        if sum(map(parts.letters, {each.heard for each in readings})) >= _WHOLE * parts.letters(text):
            return found
        if any(asked & reading.measurands or _counts(reading) for reading in readings):
            return found
        return (Meaning(text, (replace(guess.reading, guessed=True) if readings else guess.reading,), 0.0),)

    def _whole(
        self, text: str, words: Sequence[str], tokens: Sequence[Token], chart: Chart, context: Context
    ) -> Command | Reading | None:
        asking = _asks(tokens, chart)
        called = gist.called(
            text,
            words,
            self._grammar.gists,
            lambda rule: _of_rule(chart, rule, len(words)) if rule in self._grammar.rules else (),
            asks=asking,
            numbers=self._numbers,
            answers=frozenset(answers_now(context)),
        )
        guess = None if asking else self._guess(text, words, context)
        if guess is not None and (called is None or guess.groups + guess.answers > called.groups):
            return guess.reading
        return None if called is None else called.command

    def _outweighed(self, items: tuple[Item, ...], text: str, words: Sequence[str], context: Context) -> Reading | None:
        """The shape that far more of the words say than what one name was taken for: "a ring with a bolt through"."""
        if len(items) != 1 or not isinstance(items[0], Reading) or not items[0].measurands.isdisjoint(context.expected):
            return None
        if not items[0].measurands <= _OF_A_PART or items[0].options[0].negated:
            return None
        guess = self._guess(text, words, context)
        if _counts(items[0]) or guess is None or guess.groups <= _SEVERAL:
            return None
        return replace(guess.reading, guessed=True) if guess.reading.measurands == {Measurand.SHAPE} else None

    def _refined(self, items: tuple[Item, ...], text: str, words: Sequence[str], context: Context) -> Reading | None:
        """What all words say where a part of them was taken for less: "one o-ring ... at back side" is at the base."""
        readings = [item for item in items if isinstance(item, Reading)]
        if len(readings) != 1 or any(isinstance(item, Command) for item in items):
            return None
        taken = readings[0].options[0]
        guess = self._guess(text, words, context)
        if guess is None or guess.groups < _SEVERAL or guess.reading.measurands != readings[0].measurands:
            return None
        option = guess.reading.options[0]
        less = taken.value in (option.value, O_RING) and not (taken.negated or option.negated)
        if not less or option.value == taken.value:
            return None
        return guess.reading if guess.answers else replace(guess.reading, guessed=True)

    def _in_parts(self, items: tuple[Item, ...], text: str, context: Context) -> tuple[Item, ...]:
        """The items with each that was not taken as what it is by its cues, where nothing else speaks of that."""
        kept: list[Item] = []
        readings = [item for item in items if isinstance(item, Reading)]
        taken = [item for item in items if not isinstance(item, Rejection)]
        sides = frozenset(m for reading in readings for m in reading.measurands if len(reading.measurands) == 1)
        gives_up = any(isinstance(item, Command) and item.name in _GIVES_UP for item in items)
        spoken = frozenset[Measurand]().union(*(reading.measurands for reading in readings))
        for item in items:
            if not isinstance(item, Rejection) or not _is_not_taken(item):
                kept.append(item)
                continue
            for part in parts.of_rejection(item):
                words = self._words_of(part.text)
                if gives_up and not self._counts_anything(words):
                    continue  # why one cannot tell
                if taken and self._is_passed_over(part, words, text, sides):
                    continue
                guess = self._guess(part.text, words, context) if words and not gives_up else None
                if guess is not None and any(_says_the_same(guess.reading, reading) for reading in readings):
                    continue
                if guess is not None and spoken.isdisjoint(guess.reading.measurands):
                    spoken |= guess.reading.measurands
                    kept.append(guess.reading)
                    continue
                kept.append(part)
        return items if tuple(kept) == items else tuple(kept)

    def _is_passed_over(self, part: Rejection, words: Sequence[str], text: str, sides: frozenset[Measurand]) -> bool:
        """Whether nobody misses a part beside what was taken; ``sides`` : what was taken was surely of these."""
        if part.reason is Reason.INCOMPLETE and self._stands_by(
            [word for word in words if _SIDES.get(word) not in sides]
        ):
            return True
        return parts.is_whole(part.text, text) and self._tells_nothing(words)

    def _is_of_something_else(self, tokens: Sequence[Token], chart: Chart) -> bool:
        """Whether a whole sentence is about a person, or tells of the thing nothing of the trade: "I'm typing this"."""
        words = [token.text for token in loosening.without_hollow(tokens, chart, yes_no=False)]
        words = words[next((at for at, word in enumerate(words) if word not in _OPENERS), len(words)) :]
        return (
            len(words) >= _SENTENCE
            and words[0] in _SUBJECTS
            and not _asks(tokens, chart)
            and not all(word in self._nothing for word in words)
            and self._tells_nothing(words)
        )

    def _counts_anything(self, words: Sequence[str]) -> bool:
        return any(is_number(words, at, self._numbers) for at in range(len(words)))

    def _stands_by(self, words: Sequence[str]) -> bool:
        """Whether a number is not missing there: "the hex takes a", before a spanner's."""
        return self._tells_nothing([word for word in words if word not in self._grammar.cues.words.bystanders])

    def _tells_nothing(self, words: Sequence[str]) -> bool:
        words = self._without_counts(parts.without_origin(words))
        return cues.tells_nothing(words, self._grammar.cues, numbers=self._numbers)

    def _without_counts(self, words: Sequence[str]) -> list[str]:
        """Without the numbers right before units of other things: "the forty ton digger"."""
        kept: list[str] = []
        counted = False  # what stands before it
        for at in reversed(range(len(words))):
            counted = words[at] in self._grammar.other_units or (counted and is_number(words, at, self._numbers))
            if not counted:
                kept.append(words[at])
        return kept[::-1]

    def _words_of(self, text: str) -> list[str]:
        grammar = self._grammar
        return [token.text for token in standard(text, grammar.spellings, grammar.dialect, self._known)]

    def _guess(self, heard: str, words: Sequence[str], context: Context) -> cues.Guess | None:
        guess = cues.guess(
            heard, words, self._grammar.cues, context, numbers=self._numbers, carries_nothing=self._nothing
        )
        return guess and replace(guess, reading=of_the_ring_asked(guess.reading, context))


def _is_not_taken(item: Item) -> bool:
    return isinstance(item, Rejection) and item.reason in _NOT_TAKEN


def _counts(reading: Reading) -> bool:
    return any(isinstance(option.value, Quantity) for option in reading.options)


def _says_the_same(guess: Reading, reading: Reading) -> bool:
    """Whether a guess only says once more what was taken."""
    return {(option.measurand, option.value, option.negated) for option in guess.options} <= {
        (option.measurand, option.value, option.negated) for option in reading.options
    }


def _asks(tokens: Sequence[Token], chart: Chart) -> bool:
    """Whether the text begins as questions do, but for words that open any sentence."""
    for at, token in enumerate(tokens):
        if chart.match("list-asking", at):
            return True
        if token.text not in _OPENERS:
            return False
    return False


def _of_rule(chart: Chart, rule: str, length: int) -> list[Found]:
    """The longest match of a rule at each place."""
    found = []
    for at in range(length):
        best = max(chart.match(rule, at), key=lambda match: match[0], default=None)
        if best is not None:
            found.append((at, best[0], best[1]))
    return found


def _single_words(grammar: Grammar, rule: str) -> frozenset[str]:
    """The words that are a phrase of a rule by themselves."""
    found: set[str] = set()
    for form in grammar.rules.get(rule, ()):
        for flat in form.phrase:
            if len(flat) == 1:
                symbol = flat[0][1]
                if isinstance(symbol, Word):
                    found.add(symbol.text)
                else:
                    found |= _single_words(grammar, rule_name(symbol.name, symbol.keeps))
    return frozenset(found)
