"""Names of ends and threads for the ear: "three-eighths thirty degree flare on pipe thread, female, dash six".

Duty: name what the catalogue holds. It must not name readings (that is the wording's).
"""

from __future__ import annotations

from fractions import Fraction

from voicefit.catalogue import CandidateEnd, Catalogue, Thread
from voicefit.interpretation.spelling import say_number
from voicefit.quantities import exact
from voicefit.records import Gender

_SYSTEMS = {"G": "G", "R": "R", "Rc": "R", "NPT": "N P T", "NPTF": "N P T F", "NPSM": "N P S M", "M": "M"}


BRITISH_PIPE = ("G", "R", "Rc")  # of one size and pitch, parallel or tapered


class Names:
    """``rows`` : row of the catalogue by end id."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.rows = {end.id: row for row, end in enumerate(catalogue.ends)}
        self._series = catalogue.series
        pitches: dict[tuple[str, str], set[float]] = {}
        for end in catalogue.ends:
            if end.thread is not None:
                pitches.setdefault((end.series, end.nominal), set()).add(end.thread.pitch_mm)
        self._by_pitch = {key for key, of in pitches.items() if len(of) > 1}  # sizes that the pitch tells apart

    def end(self, end: CandidateEnd, *, brief: bool = False) -> str:
        """Size, name, gender and dash, in the trade's order; ``brief`` : without the dash."""
        kind = "head" if end.flange is not None and end.gender is Gender.MALE else end.gender.value
        parts = [f"{self.size(end)} {end.spoken_name}".strip()]
        if kind not in end.spoken_name.split():
            parts.append(kind)
        if end.dash is not None and not brief:
            parts.append(f"dash {say_number(end.dash)}")
        return ", ".join(parts)

    def any_of(self, end: CandidateEnd) -> str:
        """Size and series of an end, whatever its gender and variant."""
        return f"{self.size(end)} {self._series[end.series].spoken_name}".strip()

    def variant(self, end: CandidateEnd) -> str:
        """What tells it from the plain end of its series, as a label: "with inner seat: "; nothing of the plain one."""
        words = end.spoken_name.removeprefix(self._series[end.series].spoken_name).strip()
        return f"{words}: " if words else ""

    def size(self, end: CandidateEnd) -> str:
        """The nominal size: "three-eighths", "one inch", "eighteen millimeter" by tube, "M ten" by thread, "M thirty by
        two" where a series has it with two pitches."""
        try:
            value = exact(end.nominal)
        except ValueError:
            return ""
        words = say_number(value)
        if end.dash is not None:
            return f"{words} inch" if value >= 1 else words
        if end.tube_od_mm is not None:
            return f"{words} millimeter"
        if end.flange is not None:
            return f"{words} millimeter circle"
        thread = end.thread or end.bolt
        if thread is not None and thread.tpi is None and (end.series, end.nominal) in self._by_pitch:
            return thread_words(thread)
        return f"{'G' if thread is not None and thread.system == 'G' else 'M'} {words}"

    def thread(self, end: CandidateEnd) -> str:
        """The thread's designation in words; empty where there is none."""
        return "" if end.thread is None else thread_words(end.thread)


def either(first: str, second: str) -> str:
    """Two names as one breath, without saying twice what they share.

    >>> either("fourteen millimeter heavy cone, male", "fifteen millimeter light cone, male")
    'fourteen millimeter heavy, or fifteen millimeter light cone, male'
    >>> either("one-half coupler, male", "one-half coupler, female")
    'one-half coupler, male, or female'
    """
    one, other = first.split(" "), second.split(" ")
    begin, end = _shared(one, other)
    if begin + end >= min(len(one), len(other)):  # the one is the other and more: nothing can be left out
        return f"{first}, or {second}"
    return f"{' '.join(one[: len(one) - end]).rstrip(',')}, or {' '.join(other[begin:])}"


def beside(first: str, second: str) -> str:
    """The second name where the first was just said: what it does not share with it.

    >>> beside("M twelve metric flat shoulder port", "M twelve metric taper, port")
    'taper'
    >>> beside("one-half coupler with ring", "one-half coupler")
    'one-half coupler'
    """
    one, other = first.split(" "), second.split(" ")
    begin, end = _shared(one, other)
    return " ".join(other[begin : len(other) - end]).rstrip(",") or second


def _shared(one: list[str], other: list[str]) -> tuple[int, int]:
    """How many words two names begin with alike, and how many of the rest they end with alike."""
    shortest = min(len(one), len(other))
    begin = next((at for at in range(shortest) if one[at] != other[at]), shortest)
    return begin, next((at for at in range(shortest - begin) if one[-1 - at] != other[-1 - at]), shortest - begin)


def series_words(catalogue: Catalogue) -> dict[str, tuple[str, ...]]:
    """What people call each series, and what it is called when it is read back."""

    def as_words(name: str) -> str:
        return " ".join(word if len(word) == 1 else word.lower() for word in name.replace("-", " ").split())

    return {
        each.id: tuple(dict.fromkeys((*each.words, as_words(each.spoken_name)))) for each in catalogue.series.values()
    }


def thread_in_common(thread: Thread) -> str:
    """A thread that is parallel or tapered, as far as known: "three-eighths British pipe, nineteen"."""
    if thread.system in BRITISH_PIPE:
        return f"{say_number(exact(thread.size))} British pipe, {say_number(thread.tpi or 0)}"
    return thread_words(thread)


def thread_words(thread: Thread) -> str:
    """``G3/8`` as "G three-eighths nineteen", ``M18×1.5`` as "M eighteen by one and a half"."""
    size = say_number(exact(thread.size))
    if thread.tpi is None:
        pitch = say_number(Fraction(str(thread.pitch_mm)))
        return f"M {size} by {pitch}"
    system = _SYSTEMS.get(thread.system, "")
    return f"{system} {size} {say_number(thread.tpi)}".strip()
