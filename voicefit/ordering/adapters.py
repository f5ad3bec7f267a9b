"""From one end to another: the shortest chain of standard adapters, with its weakest pressure.

Duty: the families of ``adapters.csv`` as adapters of the catalogue's sizes, and the search. It must not invent an
adapter: what is not a row is not there, and "none" is an answer.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Basis
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Row, Several, Text, read_rows
from voicefit.ordering.mating import MatingRules
from voicefit.ordering.rating import Rating, rating_of
from voicefit.records import Seal

SAME, NEXT = "same", "next"
# Nominal bores between which "next" counts, ISO 4397; DN 11 and 22 are tube sizes between them.
BORES = (3, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 65, 80)
_PAIR = re.compile(r"[^:;]+:[^:;]+")


class AdapterRow(Row):
    """One row of ``adapters.csv``: a family of adapters between two kinds of end (``series/variant``).

    ``sizes`` : ``same`` nominal bore on both ends, ``next`` bore up or down on the second, or pairs ``size:size`` as
    in the ids of the ends.
    """

    id: Text
    end_a: Text
    end_b: Text
    sizes: Several


@dataclass(frozen=True, slots=True)
class Adapter:
    """One adapter. ``family`` : id of its row. ``ends`` : the first is turned towards where the chain begins."""

    family: str
    ends: tuple[CandidateEnd, CandidateEnd]
    source: str
    basis: Basis

    @property
    def turned(self) -> Adapter:
        return Adapter(self.family, (self.ends[1], self.ends[0]), self.source, self.basis)


@dataclass(frozen=True, slots=True)
class Chain:
    """``adapters`` in order from the first end; empty where the two ends mate as they are."""

    adapters: tuple[Adapter, ...]
    rating: Rating


@dataclass(frozen=True)
class Adapters:
    """All adapters and the search. Use :meth:`build`."""

    rules: MatingRules
    all: tuple[Adapter, ...]
    _by_first: Mapping[str, tuple[Adapter, ...]] = field(repr=False)

    @classmethod
    def build(cls, rules: MatingRules, data: Mapping[str, str], faults: Faults = AT_ONCE) -> Adapters:
        """Notes a ``BadTable`` for a wrong row of ``adapters.csv``."""
        rows = read_rows(data, "adapters", AdapterRow, rules.catalogue.sources, faults)
        of_kind: dict[str, list[CandidateEnd]] = {}
        for end in rules.catalogue.ends:
            of_kind.setdefault(end.kind, []).append(end)
        made = tuple(adapter for row in rows.values() for adapter in _made(row, of_kind, faults))
        by_first: dict[str, list[Adapter]] = {}
        for adapter in made:
            for way in (adapter, adapter.turned):
                by_first.setdefault(way.ends[0].id, []).append(way)
        return cls(rules, made, {end: tuple(ways) for end, ways in by_first.items()})

    def chain(self, a: CandidateEnd, b: CandidateEnd) -> Chain | None:
        """The best chain from ``a`` to ``b``, ``None`` where two adapters do not reach.

        Fewest adapters first, then joints that do not seal on a taper thread, then the highest weakest pressure.
        """
        if self.rules.mate(a, b):
            return Chain((), rating_of((a, b)))
        chains = [Chain((one,), self._rating(a, (one,), b)) for one in self._from(a) if self.rules.mate(one.ends[1], b)]
        if not chains:
            last = {end.id for end in self._joining(b)}
            chains = [
                Chain((one, two), self._rating(a, (one, two), b))
                for one in self._from(a)
                for middle in self._joining(one.ends[1])
                for two in self._by_first.get(middle.id, ())
                if two.ends[1].id in last
            ]
        return min(chains, key=_preference, default=None)

    def chain_to_any(
        self, a: CandidateEnd, goals: Iterable[CandidateEnd], last: Collection[str] = ()
    ) -> tuple[CandidateEnd, Chain] | None:
        """The end of several that is reached best: fewest adapters, then the nearest bore; ``last`` : parts, of one of
        which the chain's last end is to be; empty: of any. ``None``: none is reached."""
        found = [(end, chain) for end in goals if (chain := self.chain(a, end)) is not None and _ends_in(chain, last)]
        return min(
            found, key=lambda pair: (len(pair[1].adapters), _bore_step(a, pair[0]), _preference(pair[1])), default=None
        )

    def _joining(self, end: CandidateEnd) -> Iterable[CandidateEnd]:
        """Its mates, those that hold less too: the chain's rating is that of its weakest part."""
        mating = self.rules.of(end)
        return (*mating.mates, *(each.end for each in mating.conditional if each.of_pressure))

    def _from(self, end: CandidateEnd) -> Iterable[Adapter]:
        for mate in self._joining(end):
            yield from self._by_first.get(mate.id, ())

    @staticmethod
    def _rating(a: CandidateEnd, adapters: tuple[Adapter, ...], b: CandidateEnd) -> Rating:
        return rating_of((a, *(end for adapter in adapters for end in adapter.ends), b))


def _preference(chain: Chain) -> tuple[int, int, float, tuple[str, ...]]:
    ends = [end for adapter in chain.adapters for end in adapter.ends]
    tapers = sum(end.seal is Seal.THREAD for end in ends)
    return (len(chain.adapters), tapers, -(chain.rating.bar or 0.0), tuple(end.id for end in ends))


def _ends_in(chain: Chain, parts: Collection[str]) -> bool:
    return not parts or (bool(chain.adapters) and chain.adapters[-1].ends[1].part in parts)


def _bore_step(a: CandidateEnd, b: CandidateEnd) -> int:
    if a.dn is None or b.dn is None:
        return 1000  # by thread alone: the bore is not known
    return abs(a.dn - b.dn)


def _made(row: AdapterRow, of_kind: Mapping[str, list[CandidateEnd]], faults: Faults) -> list[Adapter]:
    for column in ("end_a", "end_b"):
        if faults.lacks(getattr(row, column), of_kind):
            faults.note(row.bad(column, f"{getattr(row, column)!r} is no kind of end"))
    sizes = [size for size in row.sizes if size in (SAME, NEXT) or _PAIR.fullmatch(size)]
    for size in row.sizes:
        if size not in sizes:
            faults.note(row.bad("sizes", f"{size!r} is neither same, next, nor size:size"))
    if not {row.end_a, row.end_b} <= of_kind.keys():
        return []
    firsts, seconds = of_kind[row.end_a], of_kind[row.end_b]
    pairs: dict[tuple[str, str], Adapter] = {}
    for size in sizes:
        for a in firsts:
            for b in seconds:
                if not _sizes_fit(size, a, b) or (row.end_a == row.end_b and (b.id, a.id) in pairs):
                    continue
                pairs[a.id, b.id] = Adapter(row.id, (a, b), row.source, row.basis)
        if ":" in size and not any(_sizes_fit(size, a, b) for a in firsts for b in seconds):
            reason = f"there is no {row.end_a} and {row.end_b} of {size}"
            told = any(faults.broken(f"{series}/{key}") for series, key in _named(row, size))
            if not told:
                faults.note(row.bad("sizes", reason))
    return list(pairs.values())


def _named(row: AdapterRow, size: str) -> Iterable[tuple[str, str]]:
    """Series and size of the two ends that ``size:size`` names."""
    kinds = (row.end_a.partition("/")[0], row.end_b.partition("/")[0])
    return zip(kinds, (part.strip() for part in size.split(":")), strict=True)


def _sizes_fit(size: str, a: CandidateEnd, b: CandidateEnd) -> bool:
    if ":" in size:
        return [part.strip() for part in size.split(":")] == [end.size for end in (a, b)]
    if a.dn is None or b.dn is None:
        return False
    if size == SAME:
        return a.dn == b.dn
    return {a.dn, b.dn} <= set(BORES) and abs(BORES.index(a.dn) - BORES.index(b.dn)) == 1
