"""Hoses: what is printed, the edition change, and the order that every standard keeps."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from itertools import pairwise

import pytest

from voicefit.catalogue import hoses
from voicefit.catalogue.hoses import Hose, HoseType, Reinforcement
from voicefit.errors import BadTable
from voicefit.quantities import MPA_PER_PSI

PSI = float(10 * MPA_PER_PSI)  # bar

TYPES = "id,standard,type,words,reinforcement,temperature_min_c,temperature_max_c,burst_ratio,source,basis\n"
TWO_SN = TYPES + "en-853-2sn,EN 853,2SN,two SN,two_wire_braids,-40,100,4,en-853,memory\n"
SIZES = "id,hose,edition,dash,bore_in,bore_min_mm,bore_max_mm,pressure_psi,pressure_bar,bend_radius_mm,source,basis\n"
GOOD = "en-853-2sn/8,en-853-2sn,1996,8,1/2,12.3,13.5,,275,180,en-853,memory\n"


@pytest.fixture(scope="module")
def known(texts: dict[str, str]) -> tuple[Hose, ...]:
    return hoses.parse(texts)


def of(known: Iterable[Hose], standard: str, name: str, edition: str = "") -> dict[int, Hose]:
    """Sizes of a type by dash."""
    return {
        hose.dash: hose
        for hose in known
        if hose.type.standard == standard and hose.type.name == name and edition in hose.edition
    }


def types_of(known: Iterable[Hose]) -> list[HoseType]:
    """Each type once."""
    return list(dict.fromkeys(hose.type for hose in known))


def test_all_types_of_the_trade_are_there(known: tuple[Hose, ...]) -> None:
    names = defaultdict(set)
    for kind in types_of(known):
        names[kind.standard].add(kind.name)
    assert names["SAE 100R"] == {f"R{number}" for number in (1, 2, 3, 4, 5, 6, 7, 8, 12, 13, 15, 16, 17, 18, 19)}
    assert names["EN 853"] == {"1SN", "2SN", "1ST", "2ST"}
    assert names["EN 854"] == {"1TE", "2TE", "3TE"}
    assert names["EN 857"] == {"1SC", "2SC"}
    assert names["EN 856"] == {"4SP", "4SH", "R12", "R13"}
    assert len(names["ISO 18752"]) == 7 * 9  # classes from 35 to 560


@pytest.mark.parametrize(
    ("standard", "name", "dash", "bar", "bend_mm"),
    [  # maximum working pressure and least bend radius, values from memory of the printed tables
        ("EN 853", "1SN", 4, 225, 100),  # EN 853
        ("EN 853", "2SN", 8, 275, 180),
        ("EN 853", "2SN", 16, 165, 300),
        ("EN 857", "1SC", 6, 180, 90),  # EN 857
        ("EN 857", "2SC", 12, 215, 200),
        ("EN 856", "4SP", 12, 350, 300),  # EN 856
        ("EN 856", "4SH", 16, 380, 340),
        ("SAE 100R", "R12", 16, 4000 * PSI, 300),  # SAE J517
        ("SAE 100R", "R13", 20, 5000 * PSI, 420),
        ("SAE 100R", "R15", 12, 6000 * PSI, 265),
        ("SAE 100R", "R17", 8, 3000 * PSI, 90),
        ("SAE 100R", "R5", 8, 2000 * PSI, 115),
    ],
)
def test_pressures_and_bends_as_printed(
    known: tuple[Hose, ...], standard: str, name: str, dash: int, bar: float, bend_mm: float
) -> None:
    hose = of(known, standard, name)[dash]
    assert hose.pressure_bar == pytest.approx(bar, abs=0.1)
    assert hose.bend_radius_mm == bend_mm


def test_editions_of_r1_and_r2(known: tuple[Hose, ...]) -> None:
    """Types S of SAE J517 replaced AT in 2006 with higher pressures: half inch R2 rose from 3500 psi to 275 bar."""
    assert of(known, "SAE 100R", "R2", "to 2005")[8].pressure_bar == pytest.approx(3500 * PSI)
    assert of(known, "SAE 100R", "R2", "from 2006")[8].pressure_bar == 275
    for name, european in (("R1", "1SN"), ("R2", "2SN")):
        before, after = (of(known, "SAE 100R", name, edition) for edition in ("to 2005", "from 2006"))
        assert len(after) == 10
        for dash, hose in after.items():
            assert 1.0 < hose.pressure_bar / before[dash].pressure_bar < 1.6
            assert hose.pressure_bar == of(known, "EN 853", european)[dash].pressure_bar


def test_one_hose_of_a_size_for_each_type_and_edition(known: tuple[Hose, ...]) -> None:
    keys = [(hose.type.id, hose.edition, hose.dash) for hose in known]
    assert len(keys) == len(set(keys))
    assert len({hose.id for hose in known}) == len(known)


def test_dash_is_the_bore_in_sixteenths_but_for_r5(known: tuple[Hose, ...]) -> None:
    """R5 goes by the tube that it replaces: SAE J517."""
    for hose in known:
        if hose.type.id == "sae-r5":
            assert hose.bore_mm < hose.dash / 16 * 25.4
        else:
            assert hose.bore_mm == pytest.approx(hose.dash / 16 * 25.4), hose.id
        least, greatest = hose.bore_limits_mm
        assert least is None or least <= hose.bore_mm
        assert greatest is None or hose.bore_mm <= greatest
        if hose.dn is not None:
            assert hose.dn == pytest.approx(hose.bore_mm, abs=1.0), hose.id


def test_order_within_a_type(known: tuple[Hose, ...]) -> None:
    """A larger hose of one type holds no more, bends no tighter and is thicker."""
    by_type = defaultdict(list)
    for hose in known:
        by_type[hose.type.id, hose.edition].append(hose)
    for sizes in by_type.values():
        assert len(sizes) >= 5
        for smaller, larger in pairwise(sizes):
            assert smaller.dash < larger.dash
            assert smaller.pressure_bar >= larger.pressure_bar
            assert smaller.bend_radius_mm <= larger.bend_radius_mm
            if smaller.outside_diameter_mm is not None and larger.outside_diameter_mm is not None:
                assert smaller.outside_diameter_mm < larger.outside_diameter_mm


def test_a_wall_is_left_between_bore_and_cover(known: tuple[Hose, ...]) -> None:
    for hose in known:
        outside = hose.outside_diameter_mm
        if outside is not None:
            assert 1.5 < (outside - hose.bore_mm) / 2 < 12, hose.id
            assert hose.bend_radius_mm > outside, hose.id


def test_stronger_constructions_hold_more_and_compact_ones_are_slimmer(known: tuple[Hose, ...]) -> None:
    one, two = of(known, "EN 853", "1SN"), of(known, "EN 853", "2SN")
    slim_one, slim_two = of(known, "EN 857", "1SC"), of(known, "EN 857", "2SC")
    spiral, heavy = of(known, "EN 856", "4SP"), of(known, "EN 856", "4SH")

    def outside(hose: Hose) -> float:
        assert hose.outside_diameter_mm is not None
        return hose.outside_diameter_mm

    for dash in one:
        assert one[dash].pressure_bar < two[dash].pressure_bar
        assert outside(one[dash]) < outside(two[dash])
    for slim, full in ((slim_one, one), (slim_two, two)):
        for dash, hose in slim.items():
            assert hose.pressure_bar == full[dash].pressure_bar
            assert outside(hose) < outside(full[dash])
            assert hose.bend_radius_mm < full[dash].bend_radius_mm
    for dash, hose in heavy.items():
        assert hose.pressure_bar > spiral[dash].pressure_bar > two[dash].pressure_bar


@pytest.mark.parametrize(
    ("name", "dash", "burst_bar"),
    [("1SN", 4, 900), ("1SN", 8, 640), ("2SN", 4, 1600), ("2SN", 8, 1100), ("2SN", 16, 660), ("2SN", 32, 320)],
)
def test_burst_pressures_as_printed(known: tuple[Hose, ...], name: str, dash: int, burst_bar: float) -> None:
    """EN 853 prints the minimum burst pressure beside the working pressure (values from memory)."""
    hose = of(known, "EN 853", name)[dash]
    assert hose.pressure_bar * hose.type.burst_ratio == burst_bar


def test_every_type_bursts_at_four_times_its_working_pressure(known: tuple[Hose, ...]) -> None:
    """SAE J517, EN 853, 856, 857 and ISO 18752."""
    assert {kind.burst_ratio for kind in types_of(known)} == {4.0}


def test_classes_hold_one_pressure_at_every_size(known: tuple[Hose, ...]) -> None:
    """ISO 18752: the class is the pressure in bar; S bends as the older standards, C half of that."""
    sizes, compact = of(known, "ISO 18752", "280 CS"), of(known, "ISO 18752", "280 CC")
    assert list(sizes) == [4, 5, 6, 8, 10, 12, 16, 20, 24, 32]
    assert {hose.pressure_bar for hose in sizes.values()} == {280}
    for dash, hose in sizes.items():
        assert compact[dash].bend_radius_mm == pytest.approx(hose.bend_radius_mm / 2, rel=0.05)
    assert sizes[8].type.temperature_c == (-40, 120)
    assert of(known, "ISO 18752", "280 AS")[8].type.temperature_c == (-40, 100)
    assert sizes[8].type.words == ("two eighty CS",)
    assert sizes[8].type.reinforcement == ()


def test_what_is_said_names_one_type(known: tuple[Hose, ...]) -> None:
    """R12 and R13 stand in two standards under one name; nothing else said may mean two types."""
    names = defaultdict(set)
    for kind in types_of(known):
        assert kind.words
        for words in kind.words:
            assert not any(character.isdigit() for character in words)
            names[words].add(kind.name)
    assert all(len(each) == 1 for each in names.values())


def test_a_spiral_hose_may_show_four_or_six(known: tuple[Hose, ...]) -> None:
    kind = of(known, "SAE 100R", "R15")[16].type
    assert kind.reinforcement == (Reinforcement.FOUR_WIRE_SPIRALS, Reinforcement.SIX_WIRE_SPIRALS)


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        (GOOD.replace(",en-853-2sn,", ",3SN,"), "hose", "'3SN' is not in hose-types.csv"),
        (GOOD.replace(",,275,", ",4000,275,"), "pressure_bar", "give either pressure_psi or pressure_bar"),
        (GOOD.replace(",,275,", ",,,"), "pressure_bar", "give either"),
        (GOOD.replace("12.3,13.5", "13.5,12.3"), "bore_max_mm", "must not be less than bore_min_mm"),
        (GOOD.replace(",1/2,", ",half,"), "bore_in", "'half' is not a number"),
        (GOOD.replace(",275,180,", ",275,0,"), "bend_radius_mm", "greater than 0"),
        (GOOD.replace(",8,1/2", ",80,1/2"), "dash", "80"),
        (GOOD.replace(",en-853,memory", ",layline,memory"), "source", "'layline' is not in sources.csv"),
    ],
)
def test_a_bad_row_names_its_place(row: str, column: str, reason: str) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        hoses.parse({"hose-types.csv": TWO_SN, "hoses-own.csv": SIZES + row}, {"en-853": None})
    assert (caught.value.file, caught.value.row, caught.value.column) == ("hoses-own.csv", 2, column)


def test_an_unknown_construction_is_refused() -> None:
    with pytest.raises(BadTable, match="three_wire_braids") as caught:
        hoses.parse({"hose-types.csv": TWO_SN.replace("two_wire_braids", "three_wire_braids")})
    assert (caught.value.file, caught.value.row, caught.value.column) == ("hose-types.csv", 2, "reinforcement")


def test_a_users_own_table_adds_hoses(texts: dict[str, str], known: tuple[Hose, ...]) -> None:
    own = SIZES + "own/8,en-853-2sn,own,8,1/2,,,,300,150,en-853,common practice\n"
    more = hoses.parse(texts | {"added/hoses-own.csv": own})
    assert len(more) == len(known) + 1
