"""What the files of ``grammar/`` may hold.

Duty: the tables and their checks, one class a table. It must not know what the entries are made into.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from voicefit.quantities import Exact, Unit
from voicefit.records import Hedge, Measurand


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid")


class UnitEntry(_Entry):
    unit: Unit
    scale: Exact = Fraction(1)
    fractions: int = 1
    words: list[str]
    written: list[str] = []
    foreign: bool = False  # of nothing here: only what names its measurand is refused for it


class RangeEntry(_Entry):
    """``unsaid``: log weight when no unit was said, ``None`` where it must be said. ``exact``: no value exists but the
    ``usual`` ones."""

    least: Exact
    greatest: Exact
    unsaid: float | None = None
    usual: list[Exact] = []
    exact: bool = False


class KindEntry(_Entry):
    numbers: list[str]
    also: list[str] = []  # forms of number that are understood, but not offered to a speech engine
    units: dict[str, RangeEntry]
    forms: list[str] = []
    coarsest_step: dict[str, Exact] = {}
    stepped: bool = True  # whether its values are read off a scale
    example: str
    plain: list[str] = []  # units that say nothing of this kind: "degrees" of a temperature


class MeasurandEntry(_Entry):
    kind: str
    bare: float | None = None
    with_unit: float | None = None


class QuantityFile(_Entry):
    unit: dict[str, UnitEntry]
    kind: dict[str, KindEntry]
    measurand: dict[Measurand, MeasurandEntry]
    topics: dict[str, list[Measurand]]


class NumberFile(_Entry):
    digits: dict[str, str]
    words: dict[str, dict[str, int]]
    forms: dict[str, list[str]]


class WordList(_Entry):
    words: list[str]


class WordFile(_Entry):
    lists: dict[str, list[str]]
    certainty: dict[Literal["likely", "perhaps", "once"], float]
    spellings: dict[str, list[str]] = {}
    hesitations: WordList
    skipped: WordList
    passed: WordList
    weighty: WordList
    addressed: WordList
    asking: WordList
    hollow: WordList
    doubtful: WordList
    edits: WordList
    waits: WordList
    denials: WordList
    maybes: WordList
    tags: WordList
    supposed: WordList
    others: WordList
    people: WordList
    observes: WordList
    retracts: WordList
    numbered: WordList
    other_units: WordList
    sits: WordList
    gaps: WordList
    beside_fit: WordList


class VerbWords(WordList):
    """``words`` : verbs; ``helpers`` : words that stand before a "not" of theirs."""

    helpers: list[str]


class DialectFile(_Entry):
    """``said`` : standard words -> the ways in which they are also said."""

    said: dict[str, list[str]]
    verbs: VerbWords


class SayEntry(_Entry):
    """``nouns``, ``qualities``, ``verbs`` (base form first) are put into the frames; ``of``: their subjects."""

    phrases: list[str] = []
    nouns: list[str] = []
    qualities: list[str] = []
    verbs: list[str] = []
    of: str = "it"
    means: list[dict[Measurand, str | list[str]]] = Field(min_length=1)
    corrects: bool = False
    strict: bool = False  # a value out of range makes it no such phrase, instead of one refused
    asked: bool = False  # taken only when one of its measurands was asked for
    threads: str | None = None

    @model_validator(mode="after")
    def _says_something(self) -> SayEntry:
        if not (self.phrases or self.nouns or self.qualities or self.verbs):
            raise ValueError("it has no phrases, nouns, qualities or verbs")
        return self


class Frames(_Entry):
    """What carries a noun, a quality or a verb: saying that it is so, that it is not, and that it was so once."""

    yes: list[str] = Field(min_length=1)
    no: list[str] = Field(min_length=1)
    once: list[str] = []


class FrameFile(_Entry):
    """``subjects``: by group, what may stand before a quality or a verb; those of ``it`` before all."""

    subjects: dict[str, list[str]]
    lists: dict[str, list[str]] = {}
    nouns: Frames
    qualities: Frames
    verbs: Frames


class TurnEntry(_Entry):
    """Phrases about another thing said: what it is not, that it fits, or how sure it is."""

    phrases: list[str] = Field(min_length=1)
    negates: bool = False
    only: list[Measurand] = []
    hedge: Hedge | None = None
    certainty: Literal["likely", "perhaps"] | None = None


class AnswerEntry(_Entry):
    """A command in other words, taken only where it answers: ``misfit`` : a gauge's gap was asked about; ``yes-no`` :
    any question that yes or no answers; ``asked`` : any question; ``gauged`` : a gauge was last said to fit."""

    phrases: list[str] = Field(min_length=1)
    command: str
    when: Literal["misfit", "yes-no", "measured", "tube", "asked", "gauged"] = "misfit"


class SayFile(_Entry):
    lists: dict[str, list[str]] = {}
    say: list[SayEntry] = []
    turn: list[TurnEntry] = []
    answer: list[AnswerEntry] = []


class SpellingFile(_Entry):
    """``letters``, ``signs`` : what is written -> how it is said, the first way for reading back."""

    letters: dict[str, list[str]]
    signs: dict[str, list[str]]
    kinds: WordList  # said and written as words


class CommandEntry(BaseModel):
    model_config = ConfigDict(extra="ignore")  # the dialogue keeps more here than phrases
    id: str
    phrases: list[str] = Field(min_length=1)
    ways: list[str] = []  # other wordings, not offered to a speech engine
    alarms: list[str] = []  # words that call it wherever they stand together
    keeps: bool = False  # the words said behind it, as they are
    leave: list[str] = []  # and in a question whether one may
    unlike: list[str] = []  # words with which it is not guessed
    asked_as: list[str] = []  # names by which it is asked for behind readings, among others
    topics: list[str] = []  # words by which a question about a named end is of it
    argument: str | None = None
    costly: bool = False  # no other word may stand beside it
    for_good: bool = False
    harmless: bool = False
    urgent: bool = False
    opens: str = ""


class CommandFile(BaseModel):
    model_config = ConfigDict(extra="ignore")
    command: list[CommandEntry]
