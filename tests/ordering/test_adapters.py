"""Chains of adapters."""

from __future__ import annotations

import pytest

from tests.ordering.conftest import chain_to_series
from voicefit.catalogue import Catalogue
from voicefit.errors import BadTable
from voicefit.ordering.adapters import Adapters
from voicefit.ordering.mating import MatingRules
from voicefit.ordering.room import Ordering

PSI = 0.0689475729  # bar


def steps(ordering: Ordering, a: str, b: str) -> list[tuple[str, str]] | None:
    chain = ordering.chain(a, b)
    return None if chain is None else [(each.ends[0].id, each.ends[1].id) for each in chain.adapters]


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        ("flare37/6/male", "flare37/6/female", []),  # they mate
        ("orb/8/port", "flare37/8/female", [("orb/8/stud", "flare37/8/male")]),  # SAE J514
        ("orb/8/port", "bspp-cone60/8/female", [("orb/8/stud", "bspp-cone60/8/male")]),
        ("flare30-g/6/female", "flare37/6/female", [("flare30-g/6/male", "flare37/6/male")]),
        ("npt/8/female", "flare37/10/female", [("npt/8/male", "flare37/10/male")]),  # next size
        # ISO 8434-1 table of stud ends: 15 L has M18x1.5 and G1/2, 16 S has M22x1.5 and G1/2
        ("metric-port/18/port", "din24-l/15/female", [("metric-port/18/stud", "din24-l/15/male")]),
        ("metric-port/22/port", "din24-s/16/female", [("metric-port/22/stud", "din24-s/16/male")]),
        ("bspp-port/8/port", "din24-s/16/female", [("bspp-port/8/stud", "din24-s/16/male")]),
        # ISO 8434-3: dash 8 face seal has an M18x1.5 stud end
        ("iso6149/18/port", "orfs/8/female", [("iso6149/18/stud", "orfs/8/male")]),
        ("staple/8/male", "orb/6/port", None),  # none is an answer
        ("coupler-a/8/male", "flare37/8/female", None),
    ],
)
def test_chains(a: str, b: str, expected: list[tuple[str, str]] | None, ordering: Ordering) -> None:
    assert steps(ordering, a, b) == expected


def test_every_joint_of_a_chain_mates(ordering: Ordering) -> None:
    starts = ["flare30-g/6/female", "bspt/6/female", "iso6149/18/port", "din24-l/12/female-o-ring", "npt/8/female"]
    reached = 0
    for start in starts:
        for goal in ordering.catalogue.ends[::7]:
            chain = ordering.chain(start, goal)
            if chain is None:
                continue
            reached += 1
            assert len(chain.adapters) <= 2
            line = [ordering.end(start), *(end for each in chain.adapters for end in each.ends), goal]
            assert all(ordering.rules.mate(a, b) for a, b in zip(line[::2], line[1::2], strict=True))
            figures = [figure.low for end in line for figure in end.pressure]
            assert chain.rating.bar == (min(figures) if figures else None)
            assert set(chain.rating.without_figure) == {end.id for end in line if not end.pressure}
    assert reached > 40


def test_a_chain_backwards_is_as_long(ordering: Ordering) -> None:
    for a, b in (
        ("bspt/6/female", "orfs/6/female"),
        ("npt/8/female", "din24-l/12/female"),
        ("staple/8/male", "orb/6/port"),
    ):
        there, back = steps(ordering, a, b), steps(ordering, b, a)
        assert (there is None) == (back is None)
        assert len(there or ()) == len(back or ())


def test_the_weakest_pressure_counts(ordering: Ordering) -> None:
    # SAE J514 gives half inch pipe 3000 psi and the half inch 37 degree flare more
    chain = ordering.chain("npt/8/female", "flare37/8/female")
    assert chain is not None and chain.rating.weakest is not None
    assert chain.rating.weakest.startswith("npt/8/")
    assert chain.rating.bar == pytest.approx(3000 * PSI, rel=1e-6)


def test_to_a_series(ordering: Ordering) -> None:
    found = chain_to_series(ordering, "flare30-g/6/female", "flare37")
    assert found is not None
    assert found[0].id == "flare37/6/female"
    assert chain_to_series(ordering, "staple/8/male", "orb") is None


HEADER = "id,end_a,end_b,sizes,source,basis\n"


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("a,flare37/male,orb/studd,same,sae-j514,memory", "end_b", "is no kind of end"),
        ("a,flare37/male,orb/stud,about,sae-j514,memory", "sizes", "neither same, next, nor size:size"),
        ("a,flare37/male,orb/stud,6:7,sae-j514,memory", "sizes", "there is no flare37/male and orb/stud of 6:7"),
        ("a,flare37/male,orb/stud,same,a-book,memory", "source", "not in sources.csv"),
    ],
)
def test_a_bad_row_is_named(row: str, column: str, reason: str, catalogue: Catalogue, data: dict[str, str]) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        Adapters.build(MatingRules.build(catalogue, data), {"adapters.csv": HEADER + row + "\n"})
    assert (caught.value.row, caught.value.column) == (2, column)


NEXT = {(3, 5), (5, 6), (6, 8), (8, 10), (10, 12), (12, 16), (16, 20), (20, 25), (25, 32), (32, 40), (40, 50), (50, 65)}


@pytest.mark.parametrize("sizes", ["same", "next", "same;next", "6:8", "10 : 10"])
def test_a_family_comes_in_the_sizes_of_its_row(sizes: str, catalogue: Catalogue, data: dict[str, str]) -> None:
    """The next size by the list of nominal bores of ISO 4397; a size that goes by its tube has none."""
    table = {"adapters.csv": f"{HEADER}a,flare37/male,orb/stud,{sizes},sae-j514,memory\n"}
    made = Adapters.build(MatingRules.build(catalogue, data), table).all
    pairs = {tuple(sorted(end.dn or 0 for end in each.ends)) for each in made}
    dashes = {(each.ends[0].dash, each.ends[1].dash) for each in made}
    if ":" in sizes:
        assert dashes == ({(6, 8)} if sizes == "6:8" else {(10, 10)})
        return
    first, second = ({end.dn for end in catalogue.ends if end.kind == kind} for kind in ("flare37/male", "orb/stud"))
    expected = {(dn, dn) for dn in first & second if dn is not None} if "same" in sizes else set()
    if "next" in sizes:
        expected |= {(a, b) for a, b in NEXT if (a in first and b in second) or (b in first and a in second)}
        assert {(6, 8), (8, 6)} <= dashes
    assert pairs == expected and len(made) == len({(each.ends[0].id, each.ends[1].id) for each in made})


def test_an_adapter_of_one_kind_is_there_once(catalogue: Catalogue, data: dict[str, str]) -> None:
    table = {"adapters.csv": f"{HEADER}a,flare37/male,flare37/male,same;next,sae-j514,memory\n"}
    made = Adapters.build(MatingRules.build(catalogue, data), table)
    keys = [frozenset(end.id for end in each.ends) for each in made.all]
    assert len(keys) == len(set(keys)) > 20
    small, large = catalogue.by_id["flare37/6/female"], catalogue.by_id["flare37/8/female"]
    for first, last in ((small, large), (large, small)):  # and it is turned round where it has to be
        chain = made.chain(first, last)
        assert chain is not None and len(chain.adapters) == 1
        assert [end.size_id for end in chain.adapters[0].ends] == [first.size_id, last.size_id]


@pytest.mark.parametrize(
    ("a", "b", "tapers", "bar"),
    [
        ("bspp-cone60/6/female", "din24-s/16/female", 0, 315),  # others hold 250 bar, or seal on a taper twice
        ("bspp-cone60/6/female", "flare30-m/6/female", 0, 275.8),
        ("npt/6/female", "orb/6/port", 1, 206.8),  # the one that it begins with, and no more
    ],
)
def test_of_two_chains_the_one_without_taper_then_the_stronger(
    a: str, b: str, tapers: int, bar: float, ordering: Ordering
) -> None:
    """Common practice, no source: a taper thread is the joint that leaks."""
    chain = ordering.chain(a, b)
    assert chain is not None and len(chain.adapters) == 2 and chain.rating.bar == pytest.approx(bar, abs=0.1)
    assert sum(end.seal == "thread" for each in chain.adapters for end in each.ends) == tapers


def test_of_a_series_the_end_with_the_nearest_bore_is_reached(ordering: Ordering) -> None:
    for a, b in (("din24-l/12/female", "flare37/6/female"), ("orb/8/port", "orfs/8/female")):
        found = chain_to_series(ordering, a, b.partition("/")[0])
        assert found is not None and len(found[1].adapters) == 1
        assert found[0].dn == ordering.end(a).dn == ordering.end(b).dn


def test_families_have_sizes(ordering: Ordering, data: dict[str, str]) -> None:
    families = {each.family for each in ordering.adapters.all}
    rows = {line.partition(",")[0] for line in data["adapters.csv"].splitlines()[1:]}
    assert families == rows, "each row makes at least one adapter"
