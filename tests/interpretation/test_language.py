from fractions import Fraction

import pytest

from voicefit.interpretation import Language
from voicefit.quantities import Quantity, Unit
from voicefit.records import Context, Measurand, Reading
from voicefit.resources import grammar_folder, read_texts


@pytest.fixture(scope="session")
def language() -> Language:
    return Language.from_texts(read_texts(grammar_folder(), ".toml"), {"flare37": ["JIC"]})


def test_the_reference_sentence(language: Language) -> None:
    items = language.interpret("outside nineteen thirty-seconds, nineteen pitch, thirty degrees", Context())[0].items
    assert all(isinstance(item, Reading) for item in items)
    assert [(item.options[0].measurand, item.options[0].value) for item in items if isinstance(item, Reading)] == [
        (Measurand.OUTSIDE_DIAMETER, Quantity(Fraction(19, 32), Unit.INCH, Fraction(1, 32))),
        (Measurand.PITCH, Quantity(Fraction(19), Unit.THREADS_PER_INCH)),
        (Measurand.SEAT_ANGLE, Quantity(Fraction(30), Unit.DEGREE)),
    ]
