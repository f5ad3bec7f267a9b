"""What a question is about: a command of what it calls, with what it names; never a reading.

How it works. What names an end and asks for a figure of it calls that (``wanted``). Else phrases and the classifier
say what a question calls. Where they say nothing, or no more than where it stands, what is named behind the words that
ask ("could it be | a flare instead") is what is asked about: a seal is asked for, a pressure is asked whether it holds,
and of all else whether it is so, or what speaks against it. What was stated with a question mark, or with "is it"
behind it, and answers what was asked for, is asked about: "male?".

Duty: this choice. It must not cut texts (:mod:`voicefit.interpretation.questions`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass, replace

from voicefit.interpretation import either, questions, wanted
from voicefit.interpretation.asking import asks_leave, families, is_of_a_weight, offers
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.grammar import Grammar
from voicefit.interpretation.questions import Stretch
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.wanted import GOES_ON
from voicefit.records import Command, Context, Item, Meaning, Measurand, Reading, Rejection, Seal, item_key

WHETHER, PRESSURE, SEAL, SEALANT, BEYOND = "why-not", "pressure", "what-seals-it", "sealant", "beyond"
_SETTLE = frozenset({"decide", "wrong"})  # whoever asks settles nothing: "what would make it a JIC", "is he wrong"
_OF_WHAT = frozenset({PRESSURE, GOES_ON})  # of which it matters what is named
_OF_TWO = frozenset({GOES_ON, "adapter"})  # questions of two ends: their "and" is none between two questions
_UNITS = word_set("bar psi pounds megapascals mpa p")
_BESIDE, _OKAY = frozenset({"aside", "pause"}), frozenset({"okay"})  # said beside a question; "is it all right"
_ANSWERS = _BESIDE | {"yes", "no", "correct", "cannot-tell"}
_VAGUE = frozenset({"where-are-we", "what-else", "why", "why-not", "beyond", "what-do-you-have", "repeat", "explain"})
_VERBS = word_set("is are am does do has have can could should would will was were may might must any")
_FRAMES = tuple(
    tuple(frame.split())
    for frame in (
        "why not", "why is", "why can", "how do i know", "how do you know", "how can", "what would make", "what makes",
        "what about", "how about", "what is the difference", "what if", "what else", "what rules", "what speaks",
        "what is against", "how is it not", "how come",
    )
)  # fmt: skip
_HOW_SO = (("how", "do", "i"), ("how", "do", "you"), ("how", "can", "it"), ("how", "come", "it"), ("why", "is", "it"))
_PIECES, _COMPARES = word_set("end ends piece pieces"), word_set("same difference different differ")
_IT, _IT_IS, _JUDGES = word_set("it this that these those"), 2, 4  # words; at most: "would that be okay"
_FORMS = frozenset({Measurand.GENDER, Measurand.DASH, Measurand.SHAPE, Measurand.TAPER, Measurand.SEAT_FORM})
_NAMES = wanted.SIZES | {Measurand.THREAD_SYSTEM, Measurand.SERIES, Measurand.COUNTRY, Measurand.PITCH}
_BEHIND = word_set("instead then maybe perhaps too though really actually or something after all either one kind sort")
_BETWEEN, _HUNDREDS, _MEANS, EXPLAIN = "between", ("hundred", "thousand"), ("what", "do", "you", "mean"), "explain"
_SAID_BEFORE = (("did", "i"), ("did", "we"), ("have", "i"), ("have", "we"))  # "did I say male"

Words = tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """What the words of a part of a text say.

    ``words`` : of a text. ``says`` : of a part as it stands, guessed where no phrase takes it. ``understands`` : by
    phrases alone. ``chart`` : of the words. ``grammar`` : what words call where one may, or where an end is named.
    """

    words: Callable[[str], Words]
    says: Callable[[str, Words], tuple[Item, ...]]
    understands: Callable[[str, Words], tuple[Item, ...]]
    chart: Callable[[Words], Chart]
    grammar: Grammar

    def in_parts(
        self, text: str, tokens: Words, found: Meaning, context: Context, alarms: Set[str]
    ) -> tuple[Item, ...] | None:
        """What each part of a text says or asks; ``None`` where nothing asks, or ``found`` is clear: it calls something
        as a whole and names nothing of an end besides, or somebody may be hurt."""
        parts = [
            replace(part, asks=True) if self._wanted(part) or self._of_others(replace(part, asks=False)) else part
            for part in self._asking_leave(questions.fronted(questions.parts(text, tokens), self._names))
        ]
        parts = wanted.with_size_behind(parts, self.words, self.chart, self.grammar.topics)
        leave = any(part.asks and (self._leave(part) is not None or self._names_it(part)) for part in parts)
        asking, words = sum(part.asks for part in parts), [token.text for token in tokens]
        names = {item.name for item in found.items if isinstance(item, Command)}
        chooses = not asking and readings_in(found.items) and "cannot-tell" not in names and offers(tokens)
        if (chooses and families(words)) or (not asking and is_of_a_weight(tokens)):
            return (Command(WHETHER, text),)  # "light series or heavy series"
        called = len(names) == len(found.items) and not readings_in(found.items)
        argued = called and any(isinstance(item, Command) and item.argument is not None for item in found.items)
        clear = called and (argued or not names <= _VAGUE | _ANSWERS) and not (asking and names & _SETTLE)
        judged = names == {PRESSURE} or (names <= _OKAY and words[0] in _VERBS and asks_leave(words))
        if not asking and judged and (about := self._pressure_in(tokens)):
            return (Command(PRESSURE, text, about=about),)  # "is 350 bar allowed"
        if not asking or names & alarms or (clear and not names & _OF_WHAT and asking == 1 and not leave):
            return None
        items: list[Item] = []
        for part in parts:
            items += [item for item in self._of(part, context) if item_key(item) not in map(item_key, items)]
        if called and not leave and any(isinstance(item, Rejection) for item in items):
            return None  # it was understood as one
        told = tuple(item for item in items if not isinstance(item, Command) or item.name not in _BESIDE)
        return told or tuple(items) or None

    def _of(self, part: Stretch, context: Context) -> tuple[Item, ...]:
        """What a part says or asks: what either side of its "and" asks, where both ask."""
        tokens = self._sized(part.text) if part.asks else self.words(part.text)
        said = self.says(part.text, tokens)
        if not part.asks:
            return said
        found = self._answered_by(part, tokens, said, context)
        sides = part.text.split(" and ")
        joins = bool(self._leave(part) or self._whether_so(part.text, tokens))
        joins = joins or any(isinstance(item, Command) and item.other for item in found)
        joins = joins or sides[0].casefold().endswith(_HUNDREDS)  # "two hundred and eighty bar"
        if len(sides) == 2 and _BETWEEN not in part.text.split() and not joins:
            each = [self._of(replace(part, text=side), context) for side in sides]
            if all(map(_is_clear, each)):
                return wanted.of_the_same(*each)
        return found

    def _answered_by(self, part: Stretch, tokens: Words, said: Sequence[Item], context: Context) -> tuple[Item, ...]:
        """What a part that asks calls for. ``said`` : what it says as it stands."""
        words = [token.text for token in tokens]
        if (leave := self._leave(part)) is not None:
            return (Command(leave, part.text),)
        if named := self._of_others(part):
            return (Command(WHETHER, part.text, about=named),)
        if asked := self._wanted(part, said):
            return (asked,)
        if of_two := self._either(part, tokens):
            return (Command(WHETHER, part.text, about=of_two),)
        if told := questions.told_to_fit(words):
            return (Command(WHETHER, part.text, about=wanted.named(tokens[told:], self.chart(tokens[told:]))),)
        if tuple(words[:3]) in _HOW_SO and "what" not in words and (sizes := wanted.named(tokens, self.chart(tokens))):
            return (Command(WHETHER, part.text, about=sizes),)
        if not part.stated and (so := self._whether_so(part.text, tokens)):
            return (so,)
        if (named := readings_in(said)) and questions.asks_enough(words) and (enough := _pressures(named)):
            return (Command(PRESSURE, part.text, about=enough),)
        if part.stated and named and all(reading.measurands <= set(context.expected) for reading in named):
            return tuple(replace(reading, guessed=True) for reading in named)
        calls = [item for item in said if isinstance(item, Command) and item.name not in _ANSWERS | _SETTLE]
        whether = part.stated or words[0] in _VERBS or any(tuple(words[: len(frame)]) == frame for frame in _FRAMES)
        compares = whether and not _COMPARES.isdisjoint(words)
        if any(call.name == PRESSURE for call in calls) and not compares:
            about = _pressures(named) or self._pressure_in(tokens) or self._pressure_in(self.words(part.offers))
            return tuple(replace(call, about=about) if call.name == PRESSURE else call for call in calls)
        argued = any(call.argument is not None for call in calls)  # "the difference between a port and a stud"
        if argued or (calls and not compares and not {call.name for call in calls} <= _VAGUE):
            return wanted.with_what_goes_on(calls, tokens, self.chart(tokens))
        if tuple(words[:2]) in _SAID_BEFORE:
            return ()
        if not named and whether:
            named = self._named(part.offers, self.words(part.offers)) or self._named(part.text, tokens)
        if named:
            return () if any(map(either.chooses, named)) else (_about(part.text, named),)
        if whether and families(words):
            return (Command(WHETHER, part.text, about=wanted.named(tokens, self.chart(tokens))),)
        calls = [Command(EXPLAIN, part.text)] if tuple(words[:4]) == _MEANS else calls
        others = tuple(item for item in said if not isinstance(item, Reading))
        stands = any(isinstance(item, Command) and item.name in _SETTLE for item in others)
        return tuple(calls) or ((Command("where-are-we", part.text),) if stands else others)

    def _asking_leave(self, parts: Sequence[Stretch]) -> list[Stretch]:
        """The parts, those that ask whether one may marked so: "swap it for a washer, is that okay" is one of them, and
        "the washer, can I do without it"."""
        found: list[Stretch] = []
        for part in parts:
            words = [token.text for token in self.words(part.text)] if part.asks and found else []
            judges = bool(words) and (len(words) <= _JUDGES or (asks_leave(words) and not _IT.isdisjoint(words)))
            both = replace(part, text=f"{part.text}, {found[-1].text}") if judges else part
            if judges and self._leave(part) is None and self._leave(found[-1]) is None and self._leave(both):
                found[-1] = both
            else:
                found.append(replace(part, asks=True) if self._leave(part) is not None else part)
        return found

    def _of_others(self, part: Stretch) -> tuple[Reading, ...]:
        tokens = self.words(part.text)
        return wanted.named_by_others(tokens, self.chart, asks=part.asks) if tokens else ()

    def _names_it(self, part: Stretch) -> bool:
        """Whether it is clear what a part that asks is about, whatever it sounds like as a whole."""
        words = self.words(part.text)
        return bool(self._wanted(part) or self._whether_so(part.text, words) or self._either(part, words))

    def _either(self, part: Stretch, tokens: Words) -> tuple[Reading, ...]:
        return either.either(words := (*tokens, *self.words(part.offers)), self.chart(words))

    def _whether_so(self, text: str, tokens: Words) -> Command | None:
        """What asks whether it is what is named and says nothing else: "is that male then"."""
        words = [token.text for token in tokens]
        end = len(words)
        while end > _IT_IS and words[end - 1] in _BEHIND:
            end -= 1
        begin = _IT_IS + (words[_IT_IS : _IT_IS + 1] == ["be"])  # "could it be"
        if end <= begin or words[0] not in (_VERBS if begin > _IT_IS else ("is", "are")) or words[1] not in _IT:
            return None
        of_two = wanted.named(tokens, self.chart(tokens)) if "or" in words else ()
        if wanted.names_an_end(of_two) and {Measurand.THREAD_SYSTEM} != set().union(*(o.measurands for o in of_two)):
            return Command(WHETHER, text)  # "is it the NPT or the British taper"
        named = readings_in(items := self.understands(text, tokens[begin:end]))  # to the last word
        alone = words[-2:] == ["inch", "thread"] or {Measurand.THREAD_SYSTEM} in [each.measurands for each in named]
        told = [reading.measurands <= _FORMS or bool(reading.measurands & _NAMES) for reading in named]
        return _about(text, named) if len(items) == sum(told) > alone and not any(map(either.chooses, named)) else None

    def _leave(self, part: Stretch) -> str | None:
        """What a part calls that asks whether one may do something, or tells that another person would."""
        tokens = self.words(part.text)
        words = [token.text for token in tokens]
        asked = words and (part.asks or words[0] in _VERBS) and asks_leave(words)
        if not words or not (asked or wanted.is_of_others(tokens, self.chart(tokens))):
            return None
        return next((each.command for each in self.grammar.leave if each.line.is_in(words)), None)

    def _wanted(self, part: Stretch, said: Sequence[Item] = ()) -> Command | None:
        """What a part calls that asks for a figure of an end that it names. ``said`` : what it says as it stands."""
        tokens = self._sized(part.text)
        words = [token.text for token in tokens]
        name = wanted.topic(words, self.grammar.topics, asks=part.asks or words[0] in _VERBS) if words else None
        name = name or wanted.by_size(tokens, self.grammar.topics, lambda words: self.chart(tuple(words)))
        argument = next((each.argument for each in said if isinstance(each, Command) and each.name == name), None)
        if name in wanted.BY_NOUN and name not in _OF_TWO and wanted.of_the_other_end(words):
            return Command(name, part.text)
        if name in _OF_TWO and _PIECES.isdisjoint(words):
            first, second = wanted.ends_of(tokens, lambda words: self.chart(tuple(words)))
            if name == GOES_ON and not first:
                second = wanted.put_on(tokens, self.chart(tokens))
            return Command(name, part.text, argument=argument, about=first, other=second) if second else None
        named = wanted.named(tokens, self.chart(tokens)) if name and name not in _OF_TWO else ()
        if name is None or not named:
            return None
        if name == PRESSURE and not _UNITS.isdisjoint(words):
            named = (*named, *self._pressure_in(tokens))
        return Command(name, part.text, argument=argument, about=named)

    def _sized(self, text: str) -> Words:
        """The words of a text, the sizes as they are called in a series."""
        tokens = self.words(text)
        return wanted.weight_last(tokens, self.chart(tokens))

    def _names(self, text: str) -> bool:
        """Whether a text names an end."""
        tokens = self.words(text)
        return wanted.names_an_end(wanted.named(tokens, self.chart(tokens)))

    def _pressure_in(self, tokens: Words) -> tuple[Reading, ...]:
        """The pressure that is named anywhere, the longest of the first: "is three hundred bar okay"."""
        chart = self.chart(tokens)
        for at in range(len(tokens)):
            found = [(end, item) for end, phrase, _ in chart.match("reading", at) for item in phrase.items]
            named = [(end, item) for end, item in found if isinstance(item, Reading) and _pressures((item,))]
            if named:
                return _pressures((max(named, key=lambda each: each[0])[1],))
        return ()

    def _named(self, text: str, tokens: Words) -> tuple[Reading, ...]:
        """What the longest end of the words says that says nothing but what something is."""
        end = len(tokens)
        while end > 1 and tokens[end - 1].text in _BEHIND:
            end -= 1
        for start in range(end):
            items = self.understands(text, tokens[start:end])
            if items and all(isinstance(item, Reading) for item in items):
                return readings_in(items)
        return ()


def _is_clear(items: Sequence[Item]) -> bool:
    """Whether they are questions that can be answered."""
    return bool(items) and all(isinstance(item, Command) and item.name not in (BEYOND, *_ANSWERS) for item in items)


def readings_in(items: Sequence[Item]) -> tuple[Reading, ...]:
    """The readings among the items, those of a correction too."""
    return tuple(reading for item in items for reading in ((item,) if isinstance(item, Reading) else _corrected(item)))


def _corrected(item: Item) -> tuple[Reading, ...]:
    return item.readings if isinstance(item, Command) and item.name == "correct" else ()


def _pressures(named: Sequence[Reading]) -> tuple[Reading, ...]:
    """The readings that may be of a pressure, as such."""
    options = [tuple(o for o in reading.options if o.measurand is Measurand.PRESSURE) for reading in named]
    return tuple(replace(reading, options=own) for reading, own in zip(named, options, strict=True) if own)


def _about(text: str, named: tuple[Reading, ...]) -> Command:
    if all(reading.measurands == {Measurand.SEAL} for reading in named):
        of_the_thread = all(reading.options[0].value == Seal.THREAD for reading in named)
        return Command(SEALANT if of_the_thread else SEAL, text)
    if pressures := tuple(reading for reading in named if reading.measurands == {Measurand.PRESSURE}):
        return Command(PRESSURE, text, about=pressures)
    return Command(WHETHER, text, about=tuple(map(_so, named)))


def _so(reading: Reading) -> Reading:
    """As it would be if it were so: who asks whether it is not metric asks whether it is."""
    options = tuple(replace(option, negated=False, hedge=None, certainty=1.0) for option in reading.options)
    return replace(reading, options=options, guessed=False)
