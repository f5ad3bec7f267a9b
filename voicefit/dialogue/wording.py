"""Replies and values in words for the ear, from ``grammar/replies.toml`` and the trade's way of saying numbers.

Duty: fill templates and put values into words. It must not decide which reply is said, and holds no text of its own
beyond joints ("dash", ",").
"""

from __future__ import annotations

import re
import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ConfigDict

from voicefit import toml_data
from voicefit.dialogue import spoken
from voicefit.dialogue.confirmation import confusable
from voicefit.errors import BadGrammar
from voicefit.interpretation.spelling import Style, say_decimal, say_digits, say_number, say_quantity
from voicefit.quantities import Quantity, Unit
from voicefit.records import Hedge, Measurand, Option

FILE = "replies.toml"
BOTH_WAYS = (Measurand.BOLT_LONG, Measurand.BOLT_SHORT)
_DESIGNATION = {Measurand.THREAD_SYSTEM, Measurand.THREAD_SIZE, Measurand.PITCH}
_SPEAKABLE = re.compile(r"[A-Za-z{}_ ,.:;?'-]*")


class _Styles(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    full: str
    short: str


class Question(BaseModel):
    """A question about a hose: its prompt, and how its answer is found."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    prompt: str
    how: tuple[str, ...]
    by_touch: str


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    replies: dict[str, str | _Styles]
    cautions: dict[str, str]
    uses: dict[str, str]
    words: dict[str, Any]
    readings: dict[str, str]
    values: dict[str, Any]
    questions: dict[str, Question]


@dataclass(frozen=True, slots=True)
class Wording:
    """``replies`` : id to (full, short). ``cautions``, ``uses``, ``words`` : id to text. ``readings`` : measurand to
    template. ``values`` : ``measurand.value``, or ``not.measurand.value`` where "not" before it will not do."""

    replies: Mapping[str, tuple[str, str]]
    cautions: Mapping[str, str]
    uses: Mapping[str, str]
    words: Mapping[str, str]
    readings: Mapping[str, str]
    values: Mapping[str, str]
    questions: Mapping[str, Question]

    # ---- templates -------------------------------------------------------------------------------------

    def reply(self, reply: str, /, slots: Mapping[str, str], *, short: bool = False) -> str:
        """A reply with its slots filled, as a sentence. Raises ``KeyError`` for a name or slot that is not there."""
        text = self.replies[reply][1 if short else 0]
        return self.sentence(text.format_map(slots))

    def phrase(self, reply: str, /, **slots: str) -> str:
        """A reply with its slots filled, as a piece of a longer sentence."""
        return self.replies[reply][0].format_map(slots)

    def slots(self, name: str) -> frozenset[str]:
        """The slots of a reply, of both styles."""
        return frozenset().union(*(slots_in(text) for text in self.replies[name]))

    def plain(self, name: str) -> str:
        """A word or two by name: ``no-readings``, ``end``, ``volume``."""
        return self.words[name]

    @staticmethod
    def sentence(text: str) -> str:
        """The text with a capital at the start of each sentence and one stop at its end."""
        text = re.sub(r"([.?])[.]+", r"\1", text.strip())
        if text and text[-1] not in ".?:":
            text += "."
        return re.sub(r"(^|[.?] )([a-z])", lambda match: match[1] + match[2].upper(), text)

    # ---- numbers and values ----------------------------------------------------------------------------

    def count(self, number: int) -> str:
        return say_number(number)

    def pieces(self, number: int) -> str:
        """How many ends or hoses a job has."""
        return f"{self.count(number)} {self.words['piece' if number == 1 else 'pieces']}"

    def value(self, option: Option) -> str:
        """A value in words, with its unit."""
        if isinstance(option.value, Quantity):
            if option.value.unit is Unit.THREADS_PER_INCH:
                return self.words["threads-per-inch"].format(count=say_number(option.value.value))
            # A fraction is of an inch: nobody in the trade says so.
            return say_quantity(option.value, option.measurand).removesuffix(" of an inch")
        named = self.values.get(f"{option.measurand.value}.{option.value}")
        return spoken.aloud(str(option.value).replace("_", " ")) if named is None else named

    def hedged(self, option: Option) -> str:
        """A value in words, with how loosely it was said: "just under three-quarters of an inch"."""
        value = option.value
        if option.hedge is None or option.hedge is Hedge.PERHAPS or not isinstance(value, Quantity):
            return self.value(option)
        said = self.words[f"hedge.{option.hedge.value}"]
        if option.hedge is not Hedge.BETWEEN or value.resolution is None:
            return said.format(value=self.value(option))
        low, high = (
            Quantity(value.value + side * value.resolution / 2, value.unit, value.resolution) for side in (-1, 1)
        )
        return said.format(low=say_quantity(low, style=Style.SHORT), high=say_quantity(high, option.measurand))

    @staticmethod
    def leaf(value: Quantity | str) -> str:
        """A gauge's leaf by what is stamped on it: "nineteen", "one point five millimeter", "thirty"."""
        if not isinstance(value, Quantity):
            return value
        if value.unit is Unit.MILLIMETRE:
            return f"{say_decimal(value.value)} millimeter"
        return say_number(value.value)

    def amount(self, option: Option, *, careful: bool = False) -> str:
        """A value in words without what it is of. ``careful`` : a number that sounds like another, digit by digit."""
        value = self.hedged(option)
        if careful and confusable(option):
            assert isinstance(option.value, Quantity)
            number = say_quantity(option.value, option.measurand, Style.SHORT)
            value = value.replace(number, say_digits(option.value.value), 1)
        return value

    def reading(self, option: Option, *, careful: bool = False) -> str:
        """A reading in words, "nineteen pitch"; ``careful`` : as :meth:`amount` has it."""
        value = self.amount(option, careful=careful)
        text = self.readings.get(option.measurand.value, "{value}").format(value=value)
        if option.negated:
            opposite = self.values.get(f"not.{option.measurand.value}.{option.value}")
            negated = self.readings.get(f"not-{option.measurand.value}", self.readings["negated"])
            text = opposite or negated.format(reading=text, value=value)
        return self.words["hedge.perhaps"].format(value=text) if option.hedge is Hedge.PERHAPS else text

    @staticmethod
    def letters(option: Option) -> str:
        """A thread system as it stands in a designation: "M", "N P T"."""
        letters = str(option.value)
        return letters if len(letters) == 1 else spoken.aloud(letters)

    def bolts(self, options: Sequence[Option], *, careful: bool = False) -> str:
        """Both ways between the bolts of a flange, "bolts seventy by thirty millimeters"; empty where it is none."""
        if tuple(each.measurand for each in options) != BOTH_WAYS or any(
            each.negated or each.hedge for each in options
        ):
            return ""
        across, along = (self.amount(each, careful=careful) for each in options)
        units = {each.value.unit for each in options if isinstance(each.value, Quantity)}
        across = across.rpartition(" ")[0] if len(units) == 1 else across
        return self.phrase("bolts-both-ways", long=across, short=along)

    def designation(self, options: Sequence[Option], system: str = "") -> str:
        """Readings of one thread designation as it is said: "M eighteen by one and a half"; empty where it is none.
        ``system`` : said in the place of the option's own, where it is of several."""
        of = {option.measurand: option for option in options if not option.negated and option.hedge is None}
        size, pitch = of.get(Measurand.THREAD_SIZE), of.get(Measurand.PITCH)
        if len(of) < 2 or len(of) != len(options) or not of.keys() <= _DESIGNATION or size is None:
            return ""
        if Measurand.THREAD_SYSTEM in of:
            system = system or self.letters(of[Measurand.THREAD_SYSTEM])
        numbers = [say_number(each.value.value) for each in (size, pitch) if each and isinstance(each.value, Quantity)]
        metric = pitch is not None and isinstance(pitch.value, Quantity) and pitch.value.is_length
        return f"{system} {' by '.join(numbers) if metric else ' '.join(numbers)}".strip()

    def spelled_out(self, option: Option) -> str:
        """A value with its digits, for a choice between two: "fifteen millimeters: one five"."""
        if not isinstance(option.value, Quantity):
            return self.reading(option)
        text = say_quantity(option.value, option.measurand, Style.DIGITS)
        value, _, digits = text.partition(": ")
        return value if digits in value.split() else text  # "eight: eight"


def slots_in(text: str) -> frozenset[str]:
    return frozenset(name for _, name, _, _ in string.Formatter().parse(text) if name)


def parse(texts: Mapping[str, str], names: Mapping[str, str] | None = None) -> Wording:
    """The wording of the ``replies.toml`` among ``texts``; ``names`` : further values in words, as ``series.flare37``.

    Raises ``BadGrammar`` naming the entry and what is wrong with it.
    """
    file = toml_data.read(texts, FILE, _File, toml_data.in_grammar)
    replies = {
        name: (reply, reply) if isinstance(reply, str) else (reply.full, reply.short)
        for name, reply in file.replies.items()
    }
    values = {**(names or {}), **dict(_flat(file.values))}
    words = dict(_flat(file.words))
    wording = Wording(replies, file.cautions, file.uses, words, file.readings, values, file.questions)
    _check(wording)
    return wording


def _flat(tree: Mapping[str, Any], before: str = "") -> list[tuple[str, str]]:
    flat: list[tuple[str, str]] = []
    for name, value in tree.items():
        flat += _flat(value, f"{before}{name}.") if isinstance(value, dict) else [(before + name, str(value))]
    return flat


def _check(wording: Wording) -> None:
    """Everything can be spoken."""
    tables = {
        "replies": [(name, text) for name, both in wording.replies.items() for text in both],
        "cautions": list(wording.cautions.items()),
        "uses": list(wording.uses.items()),
        "words": list(wording.words.items()),
        "readings": list(wording.readings.items()),
        "values": list(wording.values.items()),
        "questions": [
            (topic, text)
            for topic, each in wording.questions.items()
            for text in (each.prompt, *each.how, each.by_touch)
        ],
    }
    for table, entries in tables.items():
        for name, text in entries:
            if not _SPEAKABLE.fullmatch(text):
                raise BadGrammar(FILE, f"{table}.{name}", f"{text!r} has signs that cannot be spoken")
