from __future__ import annotations

from itertools import pairwise

import pytest

from voicefit.recognition.rough import rough, sounds_alike


@pytest.mark.parametrize(
    "texts",
    [
        ("outside ninety millimeters", "outside 90 mm", "outside 90 millimetres"),
        ("thirty seven degrees", "37 degrees", "37 degree"),
        ("one and five sixteenths", "1 and 5 16"),
        ("twenty twelve", "20 12"),
        ("twenty zero", "20 0"),
        ("seventy", "70"),
        ("point eight three two inches", "point 8 3 2 inch"),
    ],
)
def test_ways_to_write_one_thing_are_one(texts: tuple[str, ...]) -> None:
    assert all(rough(a.encode()) == rough(b.encode()) for a, b in pairwise(texts))


def test_different_numbers_are_different() -> None:
    texts = ["nineteen pitch", "ninety pitch", "nine pitch", "nine ten pitch", "nineteen", "1.5", "15", "one five"]
    assert len({rough(text.encode()) for text in texts}) == len(texts)


@pytest.mark.parametrize(
    ("first", "second", "alike"),
    [
        ("outside nineteen millimeters", "outside 90 mm", True),
        ("seventeen point two", "seventy point two", True),
        ("thirteen", "thirty", True),
        ("thirteen sixteenths", "thirty sixteenths", True),
        ("nineteen", "nineteen", False),
        ("nineteen", "eighteen", False),
        ("fifteen", "fifty one", False),
        ("ten", "twenty", False),
        ("twelve", "twenty", False),
        ("nineteen pitch", "ninety degrees", False),
    ],
)
def test_what_sounds_alike(first: str, second: str, alike: bool) -> None:
    assert sounds_alike(first, second) is sounds_alike(second, first) is alike
