"""Flanges: what is printed, the traps of the trade, and whether ring, head and screws go together."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from voicefit.catalogue import Catalogue, flanges
from voicefit.catalogue.flanges import Flange
from voicefit.errors import BadTable
from voicefit.records import Gender

HEADER = (
    "id,series,dash,nominal,form,head_diameter_in,head_diameter_mm,head_thickness_in,bolt_long_in,bolt_short_in,"
    "bolt_inch,bolt_metric,source,basis\n"
)
GOOD = "flange61/8,flange61,8,1/2,head,1-3/16,,0.265,1-1/2,11/16,5/16-18,M8,sae-j518,memory\n"


@pytest.fixture(scope="module")
def sizes(texts: dict[str, str]) -> dict[str, Flange]:
    return {flange.id: flange for flange in flanges.parse(texts)}


def screw_diameter_mm(designation: str) -> float:
    """Of ``M10``, ``M10 or M12`` (the larger), ``7/16-14``."""
    if designation.startswith("M"):
        return float(designation.rpartition("M")[2])
    numerator, denominator = designation.partition("-")[0].split("/")
    return int(numerator) / int(denominator) * 25.4


@pytest.mark.parametrize(
    ("flange_id", "head", "thickness", "long", "short"),
    [  # SAE J518 / ISO 6162, mm as printed there (values from memory, in another unit than the table's)
        ("flange61/8", 30.18, 6.73, 38.1, 17.48),
        ("flange61/16", 44.45, 8.0, 52.37, 26.19),
        ("flange61/32", 71.42, 9.53, 77.77, 42.88),
        ("flange61/80", 152.4, 11.28, 152.4, 92.08),
        ("flange62/8", 31.75, 7.75, 40.49, 18.24),
        ("flange62/16", 47.63, 9.53, 57.15, 27.76),
        ("flange62/24", 63.5, 12.57, 79.38, 36.5),
        ("flange62/32", 79.38, 12.57, 96.82, 44.45),
    ],
)
def test_heads_and_bolts_as_printed(
    sizes: dict[str, Flange], flange_id: str, head: float, thickness: float, long: float, short: float
) -> None:
    found = sizes[flange_id].head
    assert (found.head_diameter_mm, found.head_thickness_mm, found.bolt_long_mm, found.bolt_short_mm) == pytest.approx(
        (head, thickness, long, short), abs=0.04
    )


def test_codes_at_dash_8_differ_in_thickness_and_bolts_more_than_in_diameter(sizes: dict[str, Flange]) -> None:
    """The trap of the trade: heads of 30.2 and 31.8 mm. SAE J518."""
    low, high = sizes["flange61/8"].head, sizes["flange62/8"].head
    assert high.head_diameter_mm is not None and low.head_diameter_mm is not None
    assert high.head_diameter_mm - low.head_diameter_mm < 1.7
    assert low.head_thickness_mm is not None and high.head_thickness_mm is not None
    assert high.head_thickness_mm - low.head_thickness_mm == pytest.approx(1.0, abs=0.05)
    assert high.bolt_long_mm - low.bolt_long_mm == pytest.approx(2.4, abs=0.1)


def test_code_62_is_larger_than_code_61_in_every_dimension(sizes: dict[str, Flange]) -> None:
    for dash in (8, 12, 16, 20, 24, 32):
        low, high = sizes[f"flange61/{dash}"].head, sizes[f"flange62/{dash}"].head
        assert low.head_diameter_mm is not None and high.head_diameter_mm is not None
        assert low.head_diameter_mm < high.head_diameter_mm
        assert low.head_thickness_mm is not None and high.head_thickness_mm is not None
        assert low.head_thickness_mm < high.head_thickness_mm
        assert low.bolt_long_mm < high.bolt_long_mm
        assert low.bolt_short_mm < high.bolt_short_mm
        assert sizes[f"flange61/{dash}"].o_ring == sizes[f"flange62/{dash}"].o_ring


def test_the_extra_thick_head_differs_from_code_62_by_its_thickness_alone(sizes: dict[str, Flange]) -> None:
    """Common practice, no source."""
    thick = [flange for flange in sizes.values() if flange.form == "thick head"]
    assert [flange.dash for flange in thick] == [12, 16, 20, 24, 32]
    for flange in thick:
        plain = sizes[f"flange62/{flange.dash}"].head
        assert (flange.head.head_diameter_mm, flange.head.bolt_long_mm, flange.head.bolt_short_mm) == (
            plain.head_diameter_mm,
            plain.bolt_long_mm,
            plain.bolt_short_mm,
        )
        assert flange.head.head_thickness_mm is not None and plain.head_thickness_mm is not None
        assert flange.head.head_thickness_mm > plain.head_thickness_mm + 1.5


def test_flanges_grow_with_their_size(sizes: dict[str, Flange]) -> None:
    for series in ("flange61", "flange62", "flange-square", "flange-pump"):
        heads = [flange.head for flange in sizes.values() if flange.series == series and flange.form != "thick head"]
        for smaller, larger in pairwise(heads):
            if smaller.head_diameter_mm and larger.head_diameter_mm:  # not known of code 62 over dash 32
                assert smaller.head_diameter_mm < larger.head_diameter_mm
            assert smaller.bolt_long_mm < larger.bolt_long_mm
            assert smaller.bolt_short_mm < larger.bolt_short_mm


def test_bolts_clear_the_head_and_the_ring_lies_within_it(sizes: dict[str, Flange], catalogue: Catalogue) -> None:
    for flange in sizes.values():
        head = flange.head
        if head.head_diameter_mm is None:
            continue
        from_centre = math.hypot(head.bolt_long_mm, head.bolt_short_mm) / 2
        ring = None if flange.o_ring is None else catalogue.orings[flange.o_ring]
        if ring is not None:
            assert flange.dash / 16 * 25.4 < ring.inside_diameter_mm, flange.id
            assert ring.outside_diameter_mm < head.head_diameter_mm - 2, flange.id
        for bolt in (head.bolt_inch, head.bolt_metric):
            if bolt is None:
                continue
            reach = from_centre - screw_diameter_mm(bolt) / 2
            if flange.form == "square":
                assert ring is not None and ring.outside_diameter_mm / 2 < reach, flange.id
                edge = (head.head_diameter_mm - head.bolt_long_mm) / 2
                assert edge > 0.7 * screw_diameter_mm(bolt), flange.id
            else:
                assert head.head_diameter_mm / 2 < reach, flange.id


def test_every_flange_becomes_a_head_and_a_port(catalogue: Catalogue, sizes: dict[str, Flange]) -> None:
    ends = [end for end in catalogue.ends if end.flange is not None]
    for flange in sizes.values():
        own = [end for end in ends if end.id.rpartition("/")[0] == flange.id]
        wanted = [Gender.MALE] if flange.form == "thick head" else [Gender.MALE, Gender.PORT]
        assert [end.gender for end in own] == wanted, flange.id
        for end in own:
            assert end.thread is None and end.dash == flange.dash and end.o_ring == flange.o_ring
            assert end.carries_seal == (end.gender is Gender.MALE)
            assert end.flange is not None
            known = flange.head.head_thickness_mm is not None
            assert (end.flange.head_thickness_mm is not None) == (known and end.gender is Gender.MALE)


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        (GOOD.replace("flange61/8,", "8,"), "id", "must begin with its series, flange61/"),
        (
            GOOD.replace("1-3/16,,", "1-3/16,30,"),
            "head_diameter_mm",
            "give either head_diameter_in or head_diameter_mm",
        ),
        (GOOD.replace("1-1/2,11/16", ",11/16"), "bolt_long_mm", "give either"),
        (GOOD.replace("1-1/2,11/16", "11/16,1-1/2"), "bolt_short_mm", "less than the long one"),
        (GOOD.replace(",head,", ",square,"), "bolt_short_mm", "equal on a square flange"),
        (GOOD.replace(",head,", ",oval,"), "form", "oval"),
        (GOOD.replace("flange61,8", "flange61,800"), "dash", "800"),
        (GOOD.replace("sae-j518", "a drawing"), "source", "is not in sources.csv"),
    ],
)
def test_a_bad_row_names_its_place(row: str, column: str, reason: str) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        flanges.parse({"flanges.csv": HEADER + row}, {"sae-j518": None})
    assert (caught.value.file, caught.value.row, caught.value.column) == ("flanges.csv", 2, column)


def test_a_square_flange_holds_its_bolts() -> None:
    header = "id,series,dash,nominal,form,head_diameter_mm,head_thickness_mm,bolt_long_mm,bolt_short_mm,source,basis\n"
    row = "flange-square/8,flange-square,8,1/2,square,54,22,60,60,jis-b-2291,memory\n"
    with pytest.raises(BadTable, match="the bolts lie within the side"):
        flanges.parse({"flanges.csv": header + row})
