"""Everything that follows an identification, behind one object built once from the tables.

Duty: put the modules of this room together. It must not compute anything itself.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from voicefit.catalogue import CandidateEnd, Catalogue, load_catalogue
from voicefit.catalogue.faults import Faults
from voicefit.catalogue.hoses import Hose
from voicefit.errors import BadInput
from voicefit.matching import load_model, load_prior
from voicefit.ordering import assembly, cautions, follow
from voicefit.ordering.adapters import Adapters, Chain
from voicefit.ordering.assembly import Assembly, LengthToleranceRow
from voicefit.ordering.cautions import Caution
from voicefit.ordering.follow import FollowUp
from voicefit.ordering.hose import Fluid, HoseFacts, fitting, fluids_from
from voicefit.ordering.mating import MatingRules


@dataclass(frozen=True)
class Ordering:
    """Use :meth:`build`. All answers are of today's catalogue.

    >>> from voicefit.catalogue import load_catalogue
    >>> from voicefit.resources import data_folder, read_texts
    >>> data = read_texts(data_folder(), ".csv", ".toml")
    >>> ordering = Ordering.build(load_catalogue(data), data)
    >>> [mate.id for mate in ordering.follow_up("flare30-g/6/female").mating.mates]
    ['flare30-g/6/male']
    """

    catalogue: Catalogue
    rules: MatingRules
    adapters: Adapters
    cautions: tuple[Caution, ...]
    fluids: Mapping[str, Fluid]
    length_tolerances: tuple[LengthToleranceRow, ...]

    @classmethod
    def build(cls, catalogue: Catalogue, data: Mapping[str, str], faults: Faults | None = None) -> Ordering:
        """From the texts of ``data/`` by relative path.

        Raises ``BadTable`` naming file, row and column, ``BadTables`` where more than one thing is wrong; with
        ``faults``, all of it is noted there instead.
        """
        found = Faults() if faults is None else faults
        ordering = cls._build(catalogue, data, found)
        if faults is None:
            found.raise_all()
        return ordering

    @classmethod
    def _build(cls, catalogue: Catalogue, data: Mapping[str, str], faults: Faults) -> Ordering:
        rules = MatingRules.build(catalogue, data, faults)
        written: tuple[Caution, ...] = ()
        with faults.noting():
            written = cautions.parse(data)
        return cls(
            catalogue=catalogue,
            rules=rules,
            adapters=Adapters.build(rules, data, faults),
            cautions=written,
            fluids=fluids_from(catalogue, data, faults),
            length_tolerances=assembly.tolerances_from(catalogue, data, faults),
        )

    def end(self, end_id: str) -> CandidateEnd:
        """The end of an id. Raises ``BadInput`` when today's catalogue has none."""
        found = self.catalogue.by_id.get(end_id)
        if found is None:
            raise BadInput(f"{end_id}: there is no such end in the catalogue")
        return found

    def follow_up(self, end: CandidateEnd | str) -> FollowUp:
        """What an end mates with, what seals it, how tight, what it holds, cautions."""
        known = self.end(end) if isinstance(end, str) else end
        return follow.follow_up(self.rules, self.cautions, known, self.catalogue.orings)

    def chain(self, a: CandidateEnd | str, b: CandidateEnd | str) -> Chain | None:
        """The best chain of at most two standard adapters from one end to another; ``None``: there is none."""
        first, last = (self.end(each) if isinstance(each, str) else each for each in (a, b))
        return self.adapters.chain(first, last)

    def chain_to_any(
        self, a: CandidateEnd | str, goals: Iterable[CandidateEnd], last: Collection[str] = ()
    ) -> tuple[CandidateEnd, Chain] | None:
        """The end of several that is reached best, with its chain; ``last`` : parts that its last end may be of."""
        return self.adapters.chain_to_any(self.end(a) if isinstance(a, str) else a, goals, last)

    def hoses(self, facts: HoseFacts) -> tuple[Hose, ...]:
        """The hoses of the catalogue that fit what is known, best first."""
        return fitting(self.catalogue.hoses, facts, water_based=self._water_based(facts))

    def assess(self, hose: Hose, facts: HoseFacts, adapter_ends: Iterable[CandidateEnd] = ()) -> Assembly:
        """Judge an assembly: rating, temperature, bend, length tolerances. Raises ``BadInput`` for an unknown end."""
        ends = tuple(self.end(each) for each in facts.ends)
        return assembly.assess(
            hose, facts, ends, adapter_ends, self.length_tolerances, water_based=self._water_based(facts)
        )

    def _water_based(self, facts: HoseFacts) -> bool:
        fluid = self.fluids.get(facts.fluid or "")
        return fluid is not None and fluid.water_based == "yes"


def check_tables(data: Mapping[str, str]) -> None:
    """Raise ``BadTable``, or ``BadTables`` with every fault of the texts: file, row, column and reason of each.

    ``data`` : texts of ``data/`` with the user's own tables, by relative path.
    """
    faults = Faults()
    catalogue = load_catalogue(data, faults=faults)
    Ordering.build(catalogue, data, faults)
    faults.check_sources(catalogue.sources)
    with faults.noting():
        load_model(data)
    with faults.noting():
        load_prior(data)
    faults.raise_all()
