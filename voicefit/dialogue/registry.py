"""The registry of spoken functions: ``grammar/commands.toml`` as frozen values.

Duty: parse and validate. It must not know what any function does: the functions are in
:mod:`voicefit.dialogue.functions`, and a test holds the two together.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator

from voicefit import toml_data
from voicefit.errors import BadGrammar

FILE = "commands.toml"
SLOTS = ("series", "number", "reading", "name", "term", "measured")
SITUATIONS = ("question", "choice", "check", "lesson", "list", "asleep", "spelling", "identified", "hose")
_PHRASE = re.compile(r"(?:[a-z']+|\{[a-z-]+\})(?: (?:[a-z']+|\{[a-z-]+\}))*")


class Function(BaseModel):
    """One function: how it is called, its help line, and the situations in which it comes first.

    ``costly`` : it costs something to take back, and is asked about where it was not clearly heard. ``for_good`` : it
    cannot be undone, and is always asked about, in words of its own. ``asked`` : it is always asked about first, by
    what it would do. ``urgent`` : somebody may be hurt. ``harmless`` : it changes nothing. ``ways`` : other wordings,
    in the notation of the grammar. ``beside_correction`` : said between "correction" and the value, it leaves the value
    still to come. ``opens`` : the mode, list or recording it begins. ``carried`` : the kinds of line that carry what it
    names, one of them: where that is asked, it is the answer.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str = Field(pattern=r"[a-z]+(-[a-z]+)*")
    group: str
    phrases: tuple[str, ...] = Field(min_length=1)
    ways: tuple[str, ...] = ()
    alarms: tuple[str, ...] = ()  # read by the interpretation alone, as are the next four
    leave: tuple[str, ...] = ()
    asked_as: tuple[str, ...] = ()
    unlike: tuple[str, ...] = ()
    topics: tuple[str, ...] = ()
    keeps: bool = False
    help: str = Field(min_length=1)
    when: frozenset[str] = frozenset()
    costly: bool = False
    for_good: bool = False
    asked: bool = False
    urgent: bool = False
    harmless: bool = False
    beside_correction: bool = False
    carried: tuple[str, ...] = ()
    opens: Literal["explaining", "spelling", "correcting", "list", "recording"] | None = None

    @property
    def slots(self) -> frozenset[str]:
        """The kinds of argument its phrases carry."""
        return frozenset(re.findall(r"\{([a-z-]+)\}", " ".join(self.phrases)))

    @field_validator("phrases")
    @classmethod
    def _spelled_out(cls, phrases: tuple[str, ...]) -> tuple[str, ...]:
        for phrase in phrases:
            if not _PHRASE.fullmatch(phrase):
                raise ValueError(f"{phrase!r} is not lower-case words and slots")
            for slot in re.findall(r"\{([a-z-]+)\}", phrase):
                if slot not in SLOTS:
                    raise ValueError(f"{phrase!r} has an unknown slot {{{slot}}}")
        return phrases

    @field_validator("help")
    @classmethod
    def _for_the_ear(cls, text: str) -> str:
        if re.search(r"[^A-Za-z,.:' -]", text):
            raise ValueError(f"{text!r} has signs that cannot be spoken")
        return text

    @field_validator("when")
    @classmethod
    def _known(cls, when: frozenset[str]) -> frozenset[str]:
        unknown = when - set(SITUATIONS)
        if unknown:
            raise ValueError(f"unknown situation {sorted(unknown)}")
        return when


@dataclass(frozen=True)
class Registry:
    functions: tuple[Function, ...]

    @cached_property
    def by_id(self) -> Mapping[str, Function]:
        return {function.id: function for function in self.functions}

    def sensible(self, situations: frozenset[str]) -> frozenset[str]:
        """Ids of the functions that make sense at any time or in one of the situations."""
        return frozenset(each.id for each in self.functions if not each.when or each.when & situations)

    def fitting(self, situations: frozenset[str]) -> tuple[Function, ...]:
        """All functions, those made for one of the situations first, else in the order of the file."""
        return tuple(sorted(self.functions, key=lambda function: not function.when & situations))


def parse(texts: Mapping[str, str]) -> Registry:
    """The registry of the ``commands.toml`` among ``texts``.

    Raises ``BadGrammar`` naming the entry and what is wrong with it.
    """
    rows = toml_data.tree(texts, FILE, toml_data.in_grammar).get("command", [])
    functions: list[Function] = []
    seen: dict[str, str] = {}
    for number, plain in enumerate(rows, 1):
        where = f"command {number} ({plain.get('id', 'no id')})"
        function = toml_data.checked(Function, plain, FILE, toml_data.in_grammar, within=where)
        for name in (f"id {function.id}", *(f"phrase {phrase!r}" for phrase in function.phrases)):
            if name in seen:
                raise BadGrammar(FILE, where, f"{name} is taken by {seen[name]}")
            seen[name] = where
        functions.append(function)
    return Registry(tuple(functions))
