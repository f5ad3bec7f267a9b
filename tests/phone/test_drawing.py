"""The outline is drawn a unit a millimetre, with a bar of 20 mm."""

from __future__ import annotations

import xml.etree.ElementTree as xml

import pytest

from voicefit.driver import open_knowledge
from voicefit.ordering.outline import outline
from voicefit.phone.drawing import BAR_MM, to_svg

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def catalogue():
    return open_knowledge().catalogue


def drawn(catalogue, name: str) -> xml.Element:
    end = catalogue.by_id[name]
    return xml.fromstring(to_svg(outline(end, catalogue.orings), end.name))


def test_a_thread_is_as_wide_as_it_is(catalogue) -> None:
    svg = drawn(catalogue, "flare37/6/male")  # 9/16-18: 14.29 mm over its crests (ASME B1.1)
    ys = [
        float(pair.split(",")[1])
        for part in svg.iter(f"{SVG}polygon")
        if part.get("class") == "metal"
        for pair in part.get("points", "").split()
    ]
    middle = (min(ys) + max(ys)) / 2
    crests = [y for y in ys if abs(2 * (middle - y) - 14.29) < 0.35]
    assert len(crests) > 4, "many points lie on the major diameter"
    (bar,) = (part for part in svg.iter(f"{SVG}rect") if part.get("class") == "bar")
    assert float(bar.get("width", "")) == BAR_MM == 20
    assert "to scale" in svg.get("aria-label", "") and svg.get("role") == "img"


def test_every_end_can_be_drawn_and_lies_within_its_frame(catalogue) -> None:
    for end in catalogue.ends[:: max(1, len(catalogue.ends) // 60)]:
        svg = xml.fromstring(to_svg(outline(end, catalogue.orings), end.name))
        _, _, wide, high = map(float, svg.get("viewBox", "").split())
        for part in svg.iter():
            for pair in part.get("points", "").split():
                x, y = map(float, pair.split(","))
                assert -0.01 <= x <= wide + 0.01 and -0.01 <= y <= high + 0.01, end.id
        assert not any("style" in part.attrib for part in svg.iter()), "the page allows no styles but its own"
