"""No end, and no pair of ends, is said to hold more than its weakest known form: the figures are from memory."""

from __future__ import annotations

import pytest

from voicefit.catalogue.figures import BAR_PER_PSI
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.rating import lowest
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip_text import to_text

# SAE J514 rates swivel nuts and adjustable studs lower than straight males: dash to psi, memory.
SWIVEL = {4: 4500, 5: 4000, 6: 4000, 8: 4000, 10: 3000, 12: 3000, 14: 2500, 16: 2500, 20: 2000, 24: 1500, 32: 1125}
# SAE J514, straight males to dash 32, memory.
MALE = {4: 5000, 6: 5000, 8: 4500, 10: 3500, 12: 3500, 16: 3000, 20: 2500, 24: 2000, 32: 1500}


def bar(ordering: Ordering, end: str) -> float:
    figure = lowest(ordering.end(end))
    assert figure is not None
    return figure.low


@pytest.mark.parametrize(("dash", "psi"), SWIVEL.items())
def test_a_swivel_nut_holds_less_than_a_male(dash: int, psi: int, ordering: Ordering) -> None:
    assert bar(ordering, f"flare37/{dash}/female") == pytest.approx(psi * float(BAR_PER_PSI), abs=0.1)


@pytest.mark.parametrize(("dash", "psi"), SWIVEL.items())
def test_a_boss_stud_may_be_an_adjustable_one(dash: int, psi: int, ordering: Ordering) -> None:
    """Whether a stud is adjustable is not asked: the lower figure counts, and for the port too."""
    for kind in ("stud", "port"):
        assert bar(ordering, f"orb/{dash}/{kind}") <= psi * float(BAR_PER_PSI) + 0.1
    assert any("not adjustable" in figure.condition for figure in ordering.end(f"orb/{dash}/stud").pressure)


@pytest.mark.parametrize(("dash", "psi"), MALE.items())
def test_a_straight_male_keeps_its_own(dash: int, psi: int, ordering: Ordering) -> None:
    assert bar(ordering, f"flare37/{dash}/male") == pytest.approx(psi * float(BAR_PER_PSI), rel=0.03)


@pytest.mark.parametrize(("dash", "psi"), [(2, 5000), (4, 4000), (6, 3000), (8, 3000), (12, 2500)])
def test_taper_pipe(dash: int, psi: int, ordering: Ordering) -> None:
    assert bar(ordering, f"npt/{dash}/female") == pytest.approx(psi * float(BAR_PER_PSI), abs=0.1)


def test_a_nut_of_unknown_pressure_on_a_heavy_cone_is_named_with_that(ordering: Ordering) -> None:
    """M24x1.5 at 16 mm tube, 24 degrees: the French nut screws onto the heavy cone of 400 bar (common practice)."""
    mating = ordering.rules.of(ordering.end("din24-s/16/male"))
    assert "gaz24/16/female" not in [mate.id for mate in mating.mates]
    (held,) = [each for each in mating.conditional if each.end.id == "gaz24/16/female"]
    assert held.of_pressure and held.condition == "its own pressure is known and not exceeded"


def test_an_end_of_unknown_pressure_does_not_hold_what_its_mate_holds(ordering: Ordering) -> None:
    """The other way round: the French end is offered the heavy one on that condition; a light end is none."""
    for gender, other in (("male", "female"), ("female", "male")):
        mating = ordering.rules.of(ordering.end(f"gaz24/16/{gender}"))
        assert [mate.id for mate in mating.mates] == [f"gaz24/16/{other}"]
        (held,) = [each for each in mating.conditional if each.end.id == f"din24-s/16/{other}"]
        assert held.of_pressure and held.condition == "what this end holds is known and not exceeded"
        light = ordering.rules.of(ordering.end(f"gaz24/12/{gender}"))
        assert f"din24-l/12/{other}" in [mate.id for mate in light.mates] and not light.conditional
    for end in ordering.catalogue.ends:
        for mate in ordering.rules.of(end).mates:
            back = {each.end.id for each in ordering.rules.of(mate).conditional if each.of_pressure}
            assert not (end.id in back and not end.pressure), (end.id, mate.id)


def test_a_mate_of_its_own_series_is_named_with_what_the_joint_holds(ordering: Ordering) -> None:
    """A 37 degree male holds 5,000 psi at dash 6, its swivel nut 4,000 (SAE J514, memory): so does the joint."""
    male = ordering.follow_up("flare37/6/male")
    assert male.mating.weaker["flare37/6/female"].low == pytest.approx(4000 * float(BAR_PER_PSI), abs=0.1)
    slip = job_slip(ordering, JobFacts("1", ends=(EndFacts("flare37/6/male"),)))
    (item,) = slip.ends
    assert [each.pressure.low for each in item.weaker] == [275.8] and item.weaker[0].pressure.basis == "memory"
    assert "; the joint holds 275.8 bar, from memory (SAE J514; swivel nut)" in to_text(slip)
    assert not ordering.follow_up("flare37/6/female").mating.weaker  # the swivel nut is the weaker one
    for end in ordering.catalogue.ends:
        own, mating = lowest(end), ordering.rules.of(end)
        for mate in mating.mates if own else ():
            held = lowest(mate)
            if own and held and held.low < own.low:
                assert mating.weaker[mate.id] == held, (end.id, mate.id)


def test_a_weaker_mate_is_named_with_what_it_holds(ordering: Ordering) -> None:
    held = {each.end.id: each.condition for each in ordering.rules.of(ordering.end("bspp-cone60/8/female")).conditional}
    assert held["bspt/8/male-seat"] == "the line stays at or below 160 bar, from memory"
    for end in ordering.catalogue.ends:
        own, found = lowest(end), ordering.rules.of(end).mates
        for mate in found if own else ():
            holding = [held.low for m in found if m.part == mate.part and (held := lowest(m)) is not None]
            if mate.series != end.series and own is not None:
                assert max(holding) >= 0.99 * own.low or mate.part == end.part, (end.id, mate.id)
