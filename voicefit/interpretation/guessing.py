"""What no phrase took, by the kind of sentence that it is: a reading, a command, an answer, an aside, or nothing.

How it works. Alarms come before all (``alarms``). A text of which nothing was understood is of one kind as a whole
(``kinds``); where that is in doubt, each part between its pauses is of its own. Where a part of a text was taken, what
was not taken is dropped where it is talk, and else may be a reading of a thing that is not spoken of besides.

Duty: this choice. It must not weigh the kinds (``kinds``) and must not search (``segment``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace

from voicefit.interpretation import alarms, answers, kinds, parts, sides, witness
from voicefit.interpretation.asking import asks
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.dialect import standard
from voicefit.interpretation.grammar import Grammar, number_words
from voicefit.interpretation.kinds import ASIDE, BEYOND, CANNOT_TELL, Kinds, Said, SentenceClassifier
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.wordgroups import is_number
from voicefit.records import Command, Context, Item, KindShares, Meaning, Measurand, Reading, Reason, Rejection

_OTHER_THINGS_TOO = frozenset({"in", "o", "oh", "over", "s", "point", "negative"})  # words of numbers, and of much else
_DENIES = word_set("not no never without nothing none neither nor cannot hardly barely nobody lacks lacking")
_THINGS = word_set("cone seat ring rings o-ring seal washer groove thread threads nut hex collar flange shoulder tube")
_SOMEBODY = word_set(
    "i me my mine he his him she her we us our they them you your lad mate man finger fingers thumb hand hands "
    "palm wrist arm skin glove gloves leg knee foot face eye eyes neck through"
)
_YEAS, _NAYS = word_set("yes yeah yep yup aye"), word_set("no nope nah")
_CHOOSES = word_set("or either rather instead except without wrong undo forget other else")
_TURN_NOTHING = word_set(  # in a sentence as a whole
    "do does did is it too was were had if can put take took taken who what which when where how people times job "
    "number once used looking under over about above below far drop hold turn add double"
)
_WITH_REASONS = word_set(  # one says why beside them
    "cannot-tell no-gauge no-caliper no-pitch-gauge no-seat-gauge none-fits worn stripped missing drop undo forget "
    "wrong"
)
_OF_A_TRADE = frozenset({Measurand.LINE, Measurand.SERIES})  # by which an end of another trade is refused
_EXPLAINS, _TERM, _NO_GAUGE, _INJECTED = "what-is", "term", "no-gauge", "injected"
_COMPARES, _COMPARED, _DIFFERENCE = "what-else", 2, "difference"
_IN_LETTERS, _HARDLY = re.compile("[A-Za-z0-9]"), 0.3  # likely to say some one thing of the end
_WHOLE, _SHORT = 0.8, 3  # of a text's letters; of fewer words some one must be known
_NO_AND_SO = re.compile(r"(no|nope|nah)\b\W+(?=(it|that|this)('s| is)\b)", re.IGNORECASE)  # "no, it's the bolt"


class Guesses:
    """The guesses of one grammar."""

    def __init__(self, grammar: Grammar, known: frozenset[str], classifier: SentenceClassifier | None) -> None:
        self._grammar, self._known, self._classifier = grammar, known, classifier
        self._urgent = frozenset(alarm.command for alarm in grammar.alarms)
        self._numbers = number_words(grammar) - _OTHER_THINGS_TOO
        self._turning = grammar.weighty - _DENIES - _TURN_NOTHING
        self._kinds = Kinds(grammar.commands - grammar.costly, self._urgent)

    def instead(
        self, found: tuple[Meaning, ...], text: str, tokens: Sequence[Token], chart: Chart, context: Context
    ) -> tuple[Meaning, ...]:
        """The meanings of a text, or what is guessed instead."""
        words = [token.text for token in tokens]
        rung = alarms.rung(found, text, words, self._grammar.alarms, self._words_of, context.asked)
        items = (rung or found)[0].items
        urgent = {item.name: item.heard for item in items if isinstance(item, Command) and self._is_urgent(item)}
        called = alarms.is_called(found[0].items, text)
        if urgent and (called or not self._is_false_alarm(urgent, text, words)):
            told = tuple(sorted(filter(self._is_told_now, items), key=lambda item: not self._is_urgent(item)))
            return (replace((rung or found)[0], items=told, log_weight=0.0),)
        if self._classifier is None:
            return found
        items = found[0].items
        items = tuple(item for item in items if not self._is_not_so(item, urgent.keys(), text))
        items = items or (Rejection(text, Reason.OUT_OF_GRAMMAR, text),)
        said = text[tokens[0].start :]  # without "what I have here is", and what others said
        if all(map(answers.is_not_taken, items)):
            kept = self._asked(text, chart) if asks(tokens) else self._whole(text, context)
        elif any(map(answers.is_not_taken, items)):
            kept = items if asks(tokens) else self._without_talk(self._in_parts(items, text, context), said, context)
        else:
            kept = self._answered(self._without_talk(items, said, context), text, context)
            kept = (*kept, *self._passed_over(kept, text, context))
        kept = self._with_use(kept or items, text)
        return found if kept == found[0].items else (Meaning(text, kept, 0.0),)

    def _is_urgent(self, item: Item) -> bool:
        return isinstance(item, Command) and item.name in self._urgent

    def _is_told_now(self, item: Item) -> bool:
        """Whether it counts while somebody is hurt: nobody asks for words then, and questions wait."""
        return isinstance(item, Reading) or self._is_urgent(item)

    def _is_false_alarm(self, urgent: Mapping[str, str], text: str, words: Sequence[str]) -> bool:
        """Whether each clause that rings says something else."""
        clauses = {*alarms.ringing(text, words, self._grammar.alarms, self._words_of), *urgent.values()} - {text}
        return self._classifier is not None and all(
            self._kinds.is_false_alarm(urgent.keys(), self._likeness(clause)) for clause in clauses or {text}
        )

    def _with_use(self, items: tuple[Item, ...], text: str) -> tuple[Item, ...]:
        """The items, and the use that is refused, where the sentence speaks of one in words that no phrase has."""
        clauses = [clause for clause in (text, *parts.CLAUSES.split(text)) if clause.strip()]
        use = next((use for clause in clauses if (use := self._kinds.use(self._likeness(clause)))), None)
        said = any(isinstance(i, Reading) and i.measurands & _OF_A_TRADE for i in items)
        if use is None or said or any(isinstance(item, Command) and item.name == use for item in items):
            return items
        return (*(item for item in items if not answers.is_not_taken(item)), Command(use, text))

    def _is_not_so(self, item: Item, ringing: Set[str], text: str) -> bool:
        """Whether it is an alarm that is none, or a use that is denied."""
        if not isinstance(item, Command):
            return False
        return item.name in ringing or self._kinds.is_denied(item.name, self._likeness(text))

    def _whole(self, text: str, context: Context) -> tuple[Item, ...] | None:
        """What a text says of which no phrase took anything."""
        words = self._words_of(text)
        if not (_YEAS.isdisjoint(words) or _NAYS.isdisjoint(words)) and len(words) < _SHORT:
            return None  # "no, yes"
        item = self._item(text, context)
        if item is not None:
            return (item,)
        clauses = [clause for clause in parts.CLAUSES.split(text) if clause.strip()]
        if len(clauses) < 2:
            return None
        found = [(clause, self._item(clause, context)) for clause in clauses]
        chooses = self._said(text).turns and any(isinstance(item, Reading) for _, item in found)
        if chooses or all(item is None for _, item in found):
            return None
        kept = [
            item or Rejection(clause, Reason.OUT_OF_GRAMMAR, clause)
            for clause, item in found
            if item is None or not (isinstance(item, Command) and item.name == ASIDE)
        ]
        return tuple(kept) or (Command(ASIDE, text),)

    def _asked(self, text: str, chart: Chart) -> tuple[Item, ...] | None:
        """What a question is about of which no phrase took anything: whoever asks states nothing."""
        if _DIFFERENCE in text.casefold():
            both = self._with_terms(Command(_COMPARES, text), chart)
            if both[0].name == _EXPLAINS:
                return both
        command = self._kinds.question(text, self._likeness(text), self._said(text))
        return None if command is None else self._with_terms(command, chart)

    def _with_terms(self, command: Command, chart: Chart) -> tuple[Command, ...]:
        """The command, or where a word of the trade is to be explained, one for each of the first two that are named:
        "what's the difference between a port and a stud"."""
        if command.name not in (_EXPLAINS, _COMPARES) or _TERM not in self._grammar.rules:
            return (command,)
        terms = [max(found)[1] for at in range(len(chart)) if (found := chart.match(_TERM, at))]
        if command.name == _COMPARES and len(set(terms)) < _COMPARED:
            return (command,)
        command = replace(command, name=_EXPLAINS)
        asked = [replace(command, argument=str(term)) for term in dict.fromkeys(terms)]
        return tuple(asked[:2]) or (replace(command, name=BEYOND),)

    def _answered(self, items: tuple[Item, ...], text: str, context: Context) -> tuple[Item, ...]:
        """The items, or what the sentence surely answers where phrases took a few words of it for something that was
        not asked: "the same size front and back" does not ask to go back."""
        if any(answers.already(item, context) for item in items):
            return items
        heard = {item.heard for item in items if not isinstance(item, Rejection)}
        if sum(map(parts.letters, heard)) >= _WHOLE * parts.letters(text):
            return items
        answer = self._item(text, context)
        sure = isinstance(answer, Reading) and not answer.guessed
        return (answer,) if answer is not None and sure else items

    def _passed_over(self, items: tuple[Item, ...], text: str, context: Context) -> Iterator[Reading]:
        """What clauses surely answer of which nothing was taken, beside others that were: "thirty, steel only"."""
        spoken = {m for item in items if isinstance(item, Reading) for m in item.measurands}
        for clause in parts.CLAUSES.split(text) if context.expected and not context.yes_no else ():
            taken = any(isinstance(i, Rejection) or i.heard in clause or clause in i.heard for i in items)
            answer = None if taken or not clause.strip() else self._item(clause, context)
            if isinstance(answer, Reading) and not answer.guessed and spoken.isdisjoint(answer.measurands):
                spoken |= answer.measurands
                yield answer

    def _in_parts(self, items: tuple[Item, ...], text: str, context: Context) -> tuple[Item, ...]:
        """The items without talk, and with each part that was not taken as what it is, where nothing else speaks of
        that."""
        kept: list[Item] = []
        called = {item.name for item in items if isinstance(item, Command)}
        if called & _WITH_REASONS:
            return tuple(i for i in items if not isinstance(i, Rejection) or self._said(i.text).counts)
        spoken = {m for item in items if isinstance(item, Reading) for m in item.measurands}
        named: set[Measurand] = set()
        surely = witness.is_surely_told([i for i in items if isinstance(i, Reading)], self._classifier, text)
        for item in items:
            if not isinstance(item, Rejection) or not answers.is_not_taken(item):
                kept.append(item)
                continue
            for part in parts.of_rejection(item):
                alone = part.reason is Reason.INCOMPLETE or sides.is_one(self._words_of(part.text))
                if alone and self._wants_no_number(part.text, items):
                    named |= sides.of(self._words_of(part.text))
                    continue
                clause = self._clause_of(part.text, text, items)
                if clause == part.text != text and self._said(clause).denials and not parts.is_whole(clause, text):
                    kept.append(part)  # "the flange, not one" denies what it stands beside
                    continue
                guess = self._item(clause, context)
                if guess is None and not self._said(part.text).counts:
                    guess = self._item(part.text, context)
                if guess is None:
                    if not self._may_be_passed_over(part.text, spoken, surely=surely):
                        kept.append(part)
                elif isinstance(guess, Reading):
                    if spoken.isdisjoint(guess.measurands):
                        spoken |= guess.measurands
                        kept.append(replace(guess, heard=part.text))
                elif guess.name not in {ASIDE, CANNOT_TELL, *called}:
                    kept.append(guess)
        return tuple(sides.narrowed(item, named) for item in kept)

    def _wants_no_number(self, part: str, items: tuple[Item, ...]) -> bool:
        """Whether what names a measure has its number in what was taken besides: "inside I measure seventeen"; but not
        the other side than was taken."""
        words = self._words_of(part)
        turns = any(word in self._turning or word in _DENIES for word in words)
        return not turns and sides.taken_of(items, sides.of(words))

    def _may_be_passed_over(self, part: str, spoken: Set[Measurand], *, surely: bool) -> bool:
        """Whether nobody misses a part beside what was taken: it neither counts nor turns anything, names no part of an
        end, and is like nothing that one could say of one, but of what is ``spoken`` of. ``surely`` : what was taken is
        told whatever stands beside it, but a denial or another choice."""
        words = self._words_of(part)
        turning = _DENIES | _CHOOSES if surely else self._grammar.weighty
        turns = any(word in turning or word in _THINGS for word in words) or self._said(part).counts
        return not turns and kinds.likeliest_told(self._likeness(part), spoken) <= _HARDLY

    def _without_talk(self, items: tuple[Item, ...], text: str, context: Context) -> tuple[Item, ...]:
        """The items, without readings of a few words of a clause that is surely talk as a whole; nor does who cannot
        tell what was asked answer it: "dunno, it's broken off in the hole"."""
        if any(isinstance(item, Command) and item.name == CANNOT_TELL for item in items):
            answered = {m for item in items if isinstance(item, Reading) for m in item.measurands}
            of_another = not answered.issuperset(context.expected)  # "out, can't tell", where two things were asked
            items = tuple(
                i
                for i in items
                if not isinstance(i, Reading)
                or witness.is_doubted(i)
                or not answers.names(i, context)
                or (of_another and self._is_most(i, text))
            )
        return items or self._whole(text, context) or (Command(ASIDE, text),)

    def _is_most(self, reading: Reading, text: str) -> bool:
        """Whether its clause says hardly anything else."""
        clause = next((part for part in parts.CLAUSES.split(text) if reading.heard in part), text)
        return 2 * parts.letters(reading.heard) >= parts.letters(clause)

    def _clause_of(self, part: str, text: str, items: tuple[Item, ...]) -> str:
        """The clause that a part stands in, or the part itself where something was taken of that clause."""
        clause = next((each for each in parts.CLAUSES.split(text) if part in each), part)
        taken = any(not isinstance(item, Rejection) and item.heard in clause for item in items)
        return part if taken else clause

    def _item(self, text: str, context: Context) -> Command | Reading | None:
        words = self._words_of(text)
        if not _IN_LETTERS.search(text) or (len(words) < _SHORT and self._known.isdisjoint(words)):
            return None  # of other scripts, and of a word or two that nobody knows, the classifier knows nothing
        if not context.yes_no and (no := _NO_AND_SO.match(text)):
            text = text[no.end() :]  # it denies what was said before, not what it says itself
        item = self._kinds.item(text, self._likeness(text), self._said(text), context)
        if (
            isinstance(item, Command)
            and item.name == _INJECTED
            and words[-1] in _THINGS
            and _SOMEBODY.isdisjoint(words)
        ):
            return None  # "there's a red dot on the nut"; but never where it may be on somebody
        lit = not self._grammar.fit_words.gaps.isdisjoint(self._words_of(text))  # a gauge that shows light is at hand
        return None if isinstance(item, Command) and item.name in (_EXPLAINS, lit and _NO_GAUGE) else item

    def _likeness(self, text: str) -> KindShares:
        assert self._classifier is not None
        likeness, words = self._classifier.of(text), self._words_of(text)
        never = {each.command for each in self._grammar.unlike if each.line.is_in(words)}
        kept = {kind: share for kind, share in likeness.shares.items() if kind not in never}
        return replace(likeness, shares=kept) if never else likeness

    def _said(self, text: str) -> Said:
        words = self._words_of(text)
        return Said(
            any(is_number(words, at, self._numbers) for at in range(len(words))),
            any(word in self._turning for word in words),
            sum(word in _DENIES for word in words),
            len(words),
        )

    def _words_of(self, text: str) -> list[str]:
        grammar = self._grammar
        return [t.text for t in standard(text, grammar.spellings, grammar.dialect, self._known, self._numbers)]
