"""What a figure holds for: the columns that ``torques.csv``, ``turns.csv`` and ``pressures.csv`` share, typed.

An empty column says that the publication, or the memory of it, does not tell: then the figure may be of any form.
Whether a figure is of an end or a joint is decided by these values alone; the words that are printed are made of them.

Duty: the conditions, their words, and whether they suit an end. It must not hold a figure.
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict

from voicefit.catalogue.ends import CandidateEnd
from voicefit.catalogue.tables import Row, split
from voicefit.records import Gender, Seal


class SealedBy(StrEnum):
    """The kind of ring or washer, where one seal comes in several that are tightened differently."""

    SEALING_WASHER = "sealing washer"
    CAPTURED_RING = "captured ring"
    RING_MADE_UP_HERE = "cutting ring made up in the fitting"
    RING_MADE_UP_BEFOREHAND = "cutting ring made up beforehand"


class MadeOn(StrEnum):
    HOSE = "hose"
    TUBE = "tube"


class Duty(StrEnum):
    EXTRA_LIGHT = "extra light"
    LIGHT = "light"
    HEAVY = "heavy"


class Material(StrEnum):
    STEEL = "steel"
    IRON = "iron"
    ALUMINIUM = "aluminium"
    COPPER = "copper"
    BRASS = "brass"


class Use(StrEnum):
    """A practice of its own, whose figures are not those of machines."""

    AIRCRAFT = "aircraft"
    REFRIGERATION = "refrigeration"
    ENGINE_PLUG = "engine plug"


_SEALS: Mapping[Seal, str] = {
    Seal.METAL: "metal seat",
    Seal.CONE_O_RING: "O-ring nose",
    Seal.FACE_O_RING: "O-ring in the face",
    Seal.BASE_O_RING: "O-ring at the thread's base",
    Seal.WASHER: "washer",
    Seal.CUTTING_RING: "cutting ring",
    Seal.THREAD: "taper thread",
    Seal.FLANGE_O_RING: "flange O-ring",
    Seal.BORE_O_RING: "O-ring in the bore",
}
_GENDERS: Mapping[Gender, str] = {
    Gender.MALE: "male",
    Gender.FEMALE: "swivel nut",
    Gender.PORT: "port",
    Gender.STUD: "stud",
}
_MADE_ON: Mapping[MadeOn, str] = {MadeOn.HOSE: "hose end", MadeOn.TUBE: "tube nut"}
_USES: Mapping[Use, str] = {
    Use.AIRCRAFT: "aircraft practice",
    Use.REFRIGERATION: "refrigeration",
    Use.ENGINE_PLUG: "pipe plug of an engine",
}


class Conditions(BaseModel):
    """The columns of conditions. Empty or ``None``: not told.

    ``stud_of`` : id of the series at the other end of a fitting with that stud. ``lubrication`` : of the thread.
    ``bound`` : the figure is the most that is allowed. ``taken`` : memory was unsure, and the figure taken low.
    ``remark`` : printed, and decides nothing.
    """

    model_config = ConfigDict(frozen=True)

    gender: Annotated[frozenset[Gender], BeforeValidator(split)] = frozenset()
    seal: Annotated[frozenset[Seal], BeforeValidator(split)] = frozenset()
    sealed_by: SealedBy | None = None
    made_on: MadeOn | None = None
    adjustable: Literal["yes", "no"] | None = None
    duty: Duty | None = None
    material: Material | None = None
    port_material: Material | None = None
    lubrication: Literal["dry", "lubricated"] | None = None
    use: Use | None = None
    stud_of: str = ""
    screw: str = ""
    screw_class: str = ""
    bound: Literal["at most"] | None = None
    taken: Literal["low"] | None = None
    remark: str = ""


class HoldsFor(Conditions):
    """The conditions of one figure. ``past`` : what turns are counted from."""

    past: str = ""

    def words(self, series: Mapping[str, str]) -> str:
        """The conditions in writing. ``series`` : id to name, for ``stud_of``."""
        adjustable = {"yes": "adjustable", "no": "not adjustable", None: ""}[self.adjustable]
        words = (
            self.sealed_by or " or ".join(_SEALS[seal] for seal in Seal if seal in self.seal),
            "" if self.made_on is None else _MADE_ON[self.made_on],
            "" if self.made_on or self.stud_of else " or ".join(_GENDERS[one] for one in Gender if one in self.gender),
            f"stud of a fitting with {series.get(self.stud_of, self.stud_of)}" if self.stud_of else "",
            adjustable,
            self.material or "",
            f"in {self.port_material}" if self.port_material else "",
            self.lubrication or "",
            f"{self.duty} duty" if self.duty and not self.stud_of else "",
            "" if self.use is None else _USES[self.use],
            f"screw {self.screw}" if self.screw else "",
            f"class {self.screw_class}" if self.screw_class[:1].isdigit() else self.screw_class,
            self.bound or "",
            "taken low" if self.taken else "",
            self.remark,
        )
        held = ", ".join(word for word in words if word)
        return "; ".join(part for part in (f"past {self.past}" if self.past else "", held) if part)

    @property
    def tells_the_form(self) -> bool:
        """Whether it is known of which form of a series the figure is."""
        return bool(self.gender or self.seal)

    def suits_end(self, end: CandidateEnd) -> bool:
        """Whether a figure may be of this end: of its gender and its seal, as far as either is told."""
        return (not self.gender or end.gender in self.gender) and (not self.seal or end.seal in self.seal)

    def suits_joint(self, gender: Gender, seals: Set[Seal]) -> bool:
        """Whether a figure of tightening is of an end of this gender in a joint with one of these seals.

        A cutting ring takes more than a turn, the O-ring nose on the same thread a quarter of one.
        """
        return (not self.gender or gender in self.gender) and (not self.seal or bool(self.seal & seals))


class ConditionRow(Conditions, Row):
    """A row of a table whose figures hold under conditions."""

    def holds_for(self, past: str = "") -> HoldsFor:
        """``past`` : what turns are counted from."""
        return HoldsFor.model_construct(past=past, **{name: getattr(self, name) for name in Conditions.model_fields})
