"""How warm a hose may be, by its fluid and its edition."""

from __future__ import annotations

import pytest

from voicefit.ordering.assembly import Fault
from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.room import Ordering


@pytest.mark.parametrize(
    ("fluid", "celsius", "allowed"),
    [("mineral-oil", 100, True), ("mineral-oil", 101, False), ("water-glycol", 70, True), ("water-glycol", 71, False)],
)
def test_wire_braid_hose_with_water_is_for_70_degrees(
    fluid: str, celsius: float, allowed: bool, ordering: Ordering
) -> None:
    """EN 853:2015, scope: -40 to 100 with oil, to 70 with water-based fluids and water."""
    facts = HoseFacts(hose_type="en-853-2sn", dash=8, fluid=fluid, temperature_c=(celsius,))
    assert bool(ordering.hoses(facts)) == allowed
    hose = next(hose for hose in ordering.catalogue.hoses if hose.id == "en-853-2sn/8")
    assert (Fault.TEMPERATURE in ordering.assess(hose, facts).faults) != allowed


@pytest.mark.parametrize("kind", ["sae-r12", "sae-r13", "sae-r15"])
def test_spiral_hose_is_for_120_degrees(kind: str, ordering: Ordering) -> None:
    """SAE J517 JUL2020, rationale: 120, where older editions had 121."""
    hose = next(hose for hose in ordering.catalogue.hoses if hose.type.id == kind)
    assert hose.type.temperature_c == (-40, 120)


def test_classes_run_from_35_to_560(ordering: Ordering) -> None:
    """ISO 18752, classes 35, 70, 140, 210, 250, 280, 350, 420 and 560: memory."""
    found = {int(hose.pressure_bar) for hose in ordering.catalogue.hoses if hose.type.standard == "ISO 18752"}
    assert found == {35, 70, 140, 210, 250, 280, 350, 420, 560}


def test_compact_hose_has_the_older_pressures_and_says_so(ordering: Ordering) -> None:
    """SAE J517 JUL2003, scope: pressures of type S replace those of R16 from 2008; they are not recalled."""
    assert {hose.edition for hose in ordering.catalogue.hoses if hose.type.id == "sae-r16"} == {"to 2007"}
