"""The checks of ``grammar/checks.toml``: their words for the dialogue, their meaning for the advisor.

Duty: validate the file and make :class:`~voicefit.records.Check` values. It must not choose one.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from fractions import Fraction
from functools import cached_property
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from voicefit import toml_data
from voicefit.catalogue.ends import Shape
from voicefit.errors import BadGrammar
from voicefit.quantities import Quantity, Unit
from voicefit.records import Check, Measurand, Option

FILE = "checks.toml"
MOST_WORDS = 12

Words = Annotated[str, Field(min_length=1)]


class CheckEntry(BaseModel):
    """One entry of the file; see its head for the fields."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: Annotated[str, Field(pattern=r"^[a-z][a-z-]*$")]
    measurand: Measurand
    prompt: Words
    time_s: Annotated[float, Field(gt=0)]
    how: tuple[Words, ...] = Field(min_length=1)
    by_touch: Words
    brief: Words | None = None
    value: str | None = None
    yes: Literal["is", "is not"] | None = None
    gender: Literal["external", "internal", "port"] | None = None
    thread: Literal["some", "none", "tapered"] | None = None
    shape: tuple[Shape, ...] = ()
    finer_mm: Annotated[float, Field(gt=0)] | None = None
    after: tuple[Measurand, ...] = ()
    same_as: str | None = None

    @model_validator(mode="after")
    def _makes_sense(self) -> CheckEntry:
        if len(self.prompt.split()) > MOST_WORDS:
            raise ValueError(f"the prompt has more than {MOST_WORDS} words")
        for asked in (self.prompt, self.brief):
            if asked is not None and not asked.endswith("?"):
                raise ValueError("the prompt does not end in what is asked")
        if (self.value is None) != (self.yes is None):
            raise ValueError("value and yes go together")
        for asked in (self.prompt, self.brief):
            if asked is not None and set(re.findall(r"{(\w+)}", asked)) != ({self.slot} if self.slot else set()):
                raise ValueError("the slots of prompt and value differ")
        return self

    @cached_property
    def slot(self) -> str | None:
        """Name of the slot that the check is asked with, if any."""
        found = re.fullmatch(r"{(\w+)}", self.value or "")
        return found[1] if found else None

    def barred(self, unavailable: Collection[str]) -> bool:
        """Whether it cannot be made where the checks ``unavailable`` cannot."""
        return self.id in unavailable or self.same_as in unavailable

    def check(self, value: Quantity | str | None = None) -> Check:
        """The check itself; ``value`` fills the slot."""
        if self.yes is None:
            return Check(self.id, self.measurand, self.time_s)
        slots = {self.slot: value} if self.slot and value is not None else {}
        asked = value if self.slot else self._fixed()
        if asked is None:
            raise ValueError(f"the check {self.id} needs a value for its slot")
        is_, is_not = (Option(self.measurand, asked, negated=negated) for negated in (False, True))
        yes, no = (is_, is_not) if self.yes == "is" else (is_not, is_)
        return Check(self.id, self.measurand, self.time_s, slots, yes, no)

    def _fixed(self) -> Quantity | str:
        assert self.value is not None
        if self.measurand in (Measurand.FLANK_ANGLE, Measurand.SEAT_ANGLE):
            return Quantity(Fraction(self.value), Unit.DEGREE, Fraction(1))
        return self.value


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid")
    check: tuple[CheckEntry, ...]


Checks = Mapping[str, CheckEntry]
"""All checks by id, in the order of the file."""


def in_vain(checks: Checks, ids: Iterable[str]) -> list[Measurand]:
    """What the checks with these ids were of, which could not be told: what is not there cannot be. That a length
    cannot be read more finely tells of the caliper alone."""
    known = [checks[each] for each in sorted(ids) if each in checks]
    return [each.measurand for each in known if each.finer_mm is None]


def load_checks(texts: Mapping[str, str]) -> Checks:
    """The checks of ``checks.toml`` among the texts of ``grammar/``.

    Raises
    ------
    BadGrammar : names the file and the entry
    """
    entries = toml_data.read(texts, FILE, _File, toml_data.in_grammar).check
    ids = {entry.id for entry in entries}
    for entry in entries:
        if entry.same_as is not None and entry.same_as not in ids - {entry.id}:
            raise BadGrammar(FILE, entry.id, f"same_as: {entry.same_as!r} is no other check")
    twice = {entry.id for entry in entries if sum(other.id == entry.id for other in entries) > 1}
    if twice:
        raise BadGrammar(FILE, min(twice), "the id is used twice")
    return {entry.id: entry for entry in entries}
