"""What a figure holds for: typed, refused where it is no word of the trade, and of the right end."""

from __future__ import annotations

from typing import Any

import pytest

from voicefit.catalogue import Catalogue, figures, load_catalogue
from voicefit.catalogue.conditions import Duty, HoldsFor, MadeOn, Material, SealedBy, Use
from voicefit.catalogue.figures import OF_ANOTHER_FORM
from voicefit.errors import BadTable
from voicefit.records import Gender, Seal

HEADER = (
    "id,series,dash,low,high,unit,gender,seal,sealed_by,made_on,adjustable,duty,material,port_material,source,basis"
)
GIVEN = {
    "gender": "female",
    "seal": "washer;metal",
    "sealed_by": "captured ring",
    "made_on": "hose",
    "adjustable": "no",
    "duty": "light",
    "material": "steel",
    "port_material": "aluminium",
}


HEADER = f"id,series,dash,low,high,unit,{','.join(GIVEN)},source,basis"


def table(**cells: str) -> str:
    return f"{HEADER}\na,orb,8,50,60,N·m,{','.join((GIVEN | cells).values())},s,memory\n"


def test_the_columns_are_typed_and_worded() -> None:
    (figure,) = figures.look_up(figures.parse({"torques.csv": table()}).torques, "orb", dash=8)
    holds = figure.holds_for
    assert holds is not None
    assert (holds.gender, holds.seal) == ({Gender.FEMALE}, {Seal.WASHER, Seal.METAL})
    assert (holds.sealed_by, holds.made_on, holds.adjustable) == (SealedBy.CAPTURED_RING, MadeOn.HOSE, "no")
    assert (holds.material, holds.port_material) == (Material.STEEL, Material.ALUMINIUM)
    assert figure.condition == "captured ring, hose end, not adjustable, steel, in aluminium, light duty"


@pytest.mark.parametrize(
    ("holds", "words"),
    [
        ({}, ""),
        ({"past": "finger tight"}, "past finger tight"),
        (
            {"past": "finger tight", "made_on": MadeOn.TUBE, "gender": {Gender.FEMALE}},
            "past finger tight; tube nut",
        ),
        ({"gender": {Gender.FEMALE, Gender.MALE}}, "male or swivel nut"),
        ({"seal": {Seal.CONE_O_RING, Seal.METAL}}, "metal seat or O-ring nose"),
        ({"seal": {Seal.WASHER}, "sealed_by": SealedBy.SEALING_WASHER}, "sealing washer"),
        ({"stud_of": "orfs", "gender": {Gender.STUD}, "duty": Duty.HEAVY}, "stud of a fitting with O-ring face seal"),
        ({"stud_of": "own"}, "stud of a fitting with own"),
        ({"duty": Duty.HEAVY, "lubrication": "dry", "adjustable": "yes"}, "adjustable, dry, heavy duty"),
        (
            {"material": Material.BRASS, "port_material": Material.IRON, "lubrication": "lubricated"},
            "brass, in iron, lubricated",
        ),
        ({"screw": "M10", "screw_class": "10.9"}, "screw M10, class 10.9"),
        ({"screw_class": "grade 8"}, "grade 8"),
        ({"bound": "at most", "taken": "low", "remark": "two coats"}, "at most, taken low, two coats"),
        ({"use": Use.AIRCRAFT}, "aircraft practice"),
    ],
)
def test_conditions_in_writing(holds: dict[str, Any], words: str) -> None:
    assert HoldsFor(**holds).words({"orfs": "O-ring face seal"}) == words


@pytest.mark.parametrize(
    ("gender", "seal", "of_end", "of_joint"),
    [
        ((), (), True, True),  # not told: of any form
        ((Gender.MALE,), (), True, True),
        ((Gender.FEMALE,), (), False, False),
        ((), (Seal.CUTTING_RING,), True, False),  # the end is cut for a ring, the joint is with a nose
        ((), (Seal.CONE_O_RING,), False, True),
        ((Gender.MALE, Gender.FEMALE), (Seal.CUTTING_RING, Seal.CONE_O_RING), True, True),
        ((Gender.FEMALE,), (Seal.CUTTING_RING,), False, False),
    ],
)
def test_a_figure_is_of_an_end_or_of_a_joint(
    gender: tuple[Gender, ...], seal: tuple[Seal, ...], of_end: bool, of_joint: bool, catalogue: Catalogue
) -> None:
    """ISO 8434-1: a 24 degree body with an O-ring nose in it."""
    holds = HoldsFor(gender=frozenset(gender), seal=frozenset(seal))
    assert holds.suits_end(catalogue.by_id["din24-l/12/male"]) == of_end
    assert holds.suits_joint(Gender.MALE, {Seal.CONE_O_RING}) == of_joint
    assert holds.tells_the_form == bool(gender or seal)


@pytest.mark.parametrize("column", GIVEN)
def test_a_word_that_is_none_stops_the_load(column: str) -> None:
    with pytest.raises(BadTable, match="'cut ring'") as caught:
        figures.parse({"torques.csv": table(**{column: "cut ring"})})
    assert (caught.value.file, caught.value.row) == ("torques.csv", 2)
    assert caught.value.column == column


def test_a_stud_is_of_a_series(texts: dict[str, str]) -> None:
    text = "id,series,thread,pressure_bar,stud_of,source,basis\nx,metric-port,M14×1.5,250,din25,din-2353,memory\n"
    with pytest.raises(BadTable, match=r"added/pressures-own\.csv, row 2, column stud_of: 'din25' is not in series"):
        load_catalogue(texts, extra={"pressures-own.csv": text})


PRESSURES = "id,series,dash,pressure_bar,gender,source,basis\n"


def pressures(texts: dict[str, str], rows: str) -> dict[str, list[tuple[float, str]]]:
    """Pressures of a size of a series of one's own, by gender."""
    own = {
        "series-own.csv": "id,name,spoken_name,standard,source,basis\ntram,Tram,tram,works,common-practice,memory\n",
        "kinds-own.csv": (
            "id,series,gender,name,seat_form,seal,source,basis\n"
            "tram/male,tram,male,male,none,thread,common-practice,memory\n"
            "tram/female,tram,female,female,none,thread,common-practice,memory\n"
        ),
        "ends-own.csv": "id,series,dash,thread,source,basis\ntram/8,tram,8,G1/2,common-practice,memory\n",
        "pressures-own.csv": PRESSURES + rows.replace(";", ",common-practice,memory\n"),
    }
    ends = load_catalogue(texts, extra=own).ends
    return {
        end.gender.value: [(figure.low, figure.condition) for figure in end.pressure]
        for end in ends
        if end.series == "tram"
    }


def test_each_form_has_its_own_pressure(texts: dict[str, str]) -> None:
    found = pressures(texts, "a,tram,8,345,male;b,tram,8,276,female;")
    assert found == {"male": [(345, "male")], "female": [(276, "swivel nut")]}


def test_a_form_without_a_pressure_takes_the_lowest_of_its_size(texts: dict[str, str]) -> None:
    found = pressures(texts, "a,tram,8,345,male;b,tram,8,300,male;")
    assert found["female"] == [(300, f"{OF_ANOTHER_FORM}; male")]


def test_of_unknown_form_the_lowest_of_the_size_counts(texts: dict[str, str]) -> None:
    """Three hundred bar of nobody knows what: the male has no figure of its own and is not given more than the nut."""
    found = pressures(texts, "a,tram,8,300,;b,tram,8,276,female;")
    assert found["male"] == [(300, ""), (276, f"{OF_ANOTHER_FORM}; swivel nut")]
    assert found["female"] == [(300, ""), (276, "swivel nut")]


def test_every_end_of_a_size_with_a_pressure_has_one(catalogue: Catalogue) -> None:
    sizes = {end.size_id for end in catalogue.ends if end.pressure}
    assert sizes and all(end.pressure for end in catalogue.ends if end.size_id in sizes)
