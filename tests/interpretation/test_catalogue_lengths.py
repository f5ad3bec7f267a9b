"""Whatever length of an end can be asked for is understood as that length: the grammar's ranges hold the catalogue."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from voicefit.catalogue import load_catalogue
from voicefit.catalogue.ends import CandidateEnd
from voicefit.interpretation import Language
from voicefit.interpretation.spelling import say_number
from voicefit.quantities import Quantity, Unit
from voicefit.records import Context, Measurand, Reading
from voicefit.resources import data_folder, read_texts


def lengths(end: CandidateEnd) -> Iterator[tuple[Measurand, float | None]]:
    yield Measurand.TUBE_OUTSIDE_DIAMETER, end.tube_od_mm
    yield Measurand.PROFILE_DIAMETER, end.profile_mm[0][1] if end.profile_mm else None
    yield from ((Measurand.MOUTH_DIAMETER, width) for width in end.mouth_mm or ())
    if end.flange is not None:
        yield Measurand.FLANGE_HEAD_DIAMETER, end.flange.head_diameter_mm
        yield Measurand.FLANGE_HEAD_THICKNESS, end.flange.head_thickness_mm
        yield Measurand.BOLT_LONG, end.flange.bolt_long_mm
        yield Measurand.BOLT_SHORT, end.flange.bolt_short_mm


@pytest.fixture(scope="module")
def of_the_catalogue() -> set[tuple[Measurand, Fraction]]:
    ends = load_catalogue(read_texts(data_folder(), ".csv", ".toml")).ends
    found = (each for end in ends for each in lengths(end))
    return {(measurand, Fraction(round(10 * mm), 10)) for measurand, mm in found if mm is not None}


def test_each_length_of_the_catalogue_is_understood_where_it_is_asked_for(
    language: Language, of_the_catalogue: set[tuple[Measurand, Fraction]]
) -> None:
    assert len({measurand for measurand, _ in of_the_catalogue}) == 7
    for measurand, mm in sorted(of_the_catalogue):
        found = language.interpret(f"{say_number(mm)} millimeters", Context(expected=(measurand,)))[0].items
        [item] = found
        assert isinstance(item, Reading), (measurand, mm, found)
        read = {(option.measurand, option.value) for option in item.options}
        values = {value.value for of, value in read if of is measurand and isinstance(value, Quantity)}
        assert values == {mm}, (measurand, mm, found)
        assert all(value.unit is Unit.MILLIMETRE for _, value in read if isinstance(value, Quantity))
