"""A screw that is named, "M10, class 10.9", against the screws that figures of tightening are for.

Duty: whether a figure is of it. It must not choose a screw, and must not word one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from voicefit.catalogue.ends import Figure

_NUMBER = re.compile(r"\d+\.\d+")
_GRADE = "grade"


@dataclass(frozen=True, slots=True)
class Screw:
    """``size`` : "M10", "7/16". ``strength`` : a class "10.9" or a grade "grade 5". ``None`` : not told."""

    size: str | None = None
    strength: str | None = None

    @classmethod
    def of(cls, words: str) -> Screw:
        """From the words of a command: "M10 8.8", "7/16 grade-5".

        >>> Screw.of("7/16 grade-5")
        Screw(size='7/16', strength='grade 5')
        """
        each = words.split()
        sizes = [word for word in each if "/" in word or word.startswith("M")]
        others = [word.replace("-", " ") for word in each if word not in sizes]
        return cls(next(iter(sizes), None), next(iter(others), None))

    def is_of(self, size: str) -> bool:
        """Whether a size of a table is that of the screw: of an inch screw the table has the thread's pitch too."""
        return self.size is None or self.size == size.partition("-")[0]

    def takes(self, figure: Figure) -> bool:
        """Whether a figure is of this screw; one of its size that names no class may be of any."""
        holds = figure.holds_for
        size, strength = ("", "") if holds is None else (holds.screw, holds.screw_class)
        if self.size is not None and not (size and self.is_of(size)):
            return False
        if self.strength is None or not strength:
            return self.size is not None or self.strength is None
        if self.strength.startswith(_GRADE) or strength.startswith(_GRADE):
            return self.strength == strength
        classes = [float(each) for each in _NUMBER.findall(strength)]
        return min(classes) <= float(self.strength) <= max(classes)


def sizes_of(figures: Iterable[Figure]) -> tuple[str, ...]:
    """The sizes of the screws that figures are for, each once."""
    return tuple(dict.fromkeys(each.holds_for.screw for each in figures if each.holds_for and each.holds_for.screw))
