"""Seals, figures and cautions that follow from an end."""

from __future__ import annotations

import pytest

from voicefit.catalogue.conditions import SealedBy
from voicefit.ordering.follow import joint_seal
from voicefit.ordering.room import Ordering
from voicefit.records import Seal


@pytest.mark.parametrize(
    ("end", "kind", "count", "ring", "inside_mm", "section_mm", "here"),
    [
        # SAE AS568, inches: 906 is 0.468 x 0.078, 908 0.644 x 0.087, 012 0.364 x 0.070, 014 0.489 x 0.070
        ("orb/6/stud", Seal.BASE_O_RING, 1, "906", 0.468 * 25.4, 0.078 * 25.4, True),
        ("orb/6/port", Seal.BASE_O_RING, 1, "906", 0.468 * 25.4, 0.078 * 25.4, False),
        ("orb/8/stud", Seal.BASE_O_RING, 1, "908", 0.644 * 25.4, 0.087 * 25.4, True),
        ("orfs/6/male", Seal.FACE_O_RING, 1, "012", 0.364 * 25.4, 0.070 * 25.4, True),
        ("orfs/8/female", Seal.FACE_O_RING, 1, "014", 0.489 * 25.4, 0.070 * 25.4, False),
        # SAE J518: 219 (1.296 x 0.139) in the 1 inch head, 210 (0.734 x 0.139) in the half inch head
        ("flange61/16/male", Seal.FLANGE_O_RING, 1, "219", 1.296 * 25.4, 0.139 * 25.4, True),
        ("flange62/8/port", Seal.FLANGE_O_RING, 1, "210", 0.734 * 25.4, 0.139 * 25.4, False),
        # ISO 6149-2: M18x1.5 takes 15.3 x 2.2, M22x1.5 takes 19.3 x 2.2
        ("iso6149/18/stud", Seal.BASE_O_RING, 1, "15.3×2.2", 15.3, 2.2, True),
        ("iso6149/22/port", Seal.BASE_O_RING, 1, "19.3×2.2", 19.3, 2.2, False),
        ("flare37/8/male", Seal.METAL, 0, None, None, None, True),
        ("npt/8/male", Seal.THREAD, 0, None, None, None, True),
        ("bspp-port/8/port", Seal.WASHER, 1, None, None, None, False),
        ("din24-l/12/male", Seal.CUTTING_RING, 1, None, None, None, False),
        ("banjo/14/male", Seal.WASHER, 2, None, None, None, True),  # DIN 7643: one on either side of the eye
    ],
)
def test_first_seal(
    end: str,
    kind: Seal,
    count: int,
    ring: str | None,
    inside_mm: float | None,
    section_mm: float | None,
    here: bool,
    ordering: Ordering,
) -> None:
    first = ordering.follow_up(end).seals[0]
    assert (first.kind, first.count, first.on_this_end) == (kind, count, here)
    if ring is None:
        assert first.ring is None
    else:
        assert first.ring is not None and first.ring.id == ring
        assert first.ring.inside_diameter_mm == pytest.approx(inside_mm, abs=0.01)
        assert first.ring.section_mm == pytest.approx(section_mm, abs=0.01)


def test_a_24_degree_body_lists_each_seal_it_may_meet(ordering: Ordering) -> None:
    kinds = [seal.kind for seal in ordering.follow_up("din24-l/12/male").seals]
    assert kinds == [Seal.CUTTING_RING, Seal.CONE_O_RING, Seal.METAL]  # nut, O-ring nose, universal nose


def test_a_taper_male_with_a_cone_seals_on_the_cone_of_a_swivel(ordering: Ordering) -> None:
    ids = ("bspt/8/male-seat", "bspp-cone60/8/female", "bspt/8/female")
    male, swivel, taper = (ordering.end(each) for each in ids)
    assert joint_seal(male, swivel, ordering.catalogue.orings).kind is Seal.METAL
    assert joint_seal(swivel, male, ordering.catalogue.orings).kind is Seal.METAL
    assert joint_seal(male, taper, ordering.catalogue.orings).kind is Seal.THREAD


def test_a_stud_bored_with_a_cone_needs_no_washer_in_a_swivel(ordering: Ordering) -> None:
    """It is the 60 degree cones that meet: the washer is for its other joint, against a port's face."""
    for id in ("bspp-cone60/8/female", "cone60-g/8/female"):
        assert {seal.kind for seal in ordering.follow_up(id).seals} == {Seal.METAL}
    kinds = [seal.kind for seal in ordering.follow_up("bspp-port/8/stud").seals]
    assert kinds[0] is Seal.WASHER and Seal.METAL in kinds


def test_the_same_joint_has_the_same_seal_from_both_sides(ordering: Ordering) -> None:
    for end in ordering.catalogue.ends:
        for mate in ordering.rules.of(end).mates:
            one, other = (joint_seal(a, b, ordering.catalogue.orings) for a, b in ((end, mate), (mate, end)))
            assert (one.kind, one.ring, one.count) == (other.kind, other.ring, other.count), (end.id, mate.id)
            if one.count and end.carries_seal != mate.carries_seal:
                assert one.on_this_end != other.on_this_end


def test_figures_are_the_catalogues_and_a_gap_stays_a_gap(ordering: Ordering) -> None:
    follow = ordering.follow_up("flare30-g/6/female")
    assert follow.torque and all(figure.source for figure in follow.torque)
    assert follow.pressure == ()
    assert follow.hex_mm == (22.0,)  # JIS B 8363, nut of size 9


@pytest.mark.parametrize(
    ("end", "there", "not_there"),
    [
        ("flare37/8/male", {"no-dope", "injection", "aid"}, {"compound", "taper", "crimp"}),
        ("orb/6/stud", {"compound", "no-dope"}, {"taper"}),
        ("npt/8/male", {"taper"}, {"no-dope", "compound"}),
    ],
)
def test_cautions_belong_to_the_seal(end: str, there: set[str], not_there: set[str], ordering: Ordering) -> None:
    found = {caution.id for caution in ordering.follow_up(end).cautions}
    assert there <= found and not not_there & found


@pytest.mark.parametrize(
    ("end", "conditions"),
    [
        # DIN 3859: a cutting ring takes one and a half turns, an O-ring nose a quarter (memory)
        (
            "din24-l/18/female-o-ring",
            {
                "past wrench resistance; O-ring nose",
                "metal seat or O-ring nose, hose end",
                "past finger tight; O-ring nose, hose end, at most",
            },
        ),
        (
            "din24-l/18/female",
            {
                "past finger tight; cutting ring made up in the fitting",
                "past wrench resistance; cutting ring made up beforehand",
            },
        ),
        (
            "din24-l/12/female-universal",
            {"metal seat or O-ring nose, hose end", "past finger tight; metal seat, hose end, at most"},
        ),
        (
            "bspp-port/12/stud",
            {"captured ring, light duty", "captured ring, heavy duty", "sealing washer, steel, light duty"},
        ),
        ("bspp-port/12/stud-edge", set()),
        ("bspp-port/12/stud-o-ring", set()),
    ],
)
def test_an_end_is_tightened_as_its_seal_is(end: str, conditions: set[str], ordering: Ordering) -> None:
    follow = ordering.follow_up(end)
    assert {figure.condition for figure in (*follow.torque, *follow.turns)} == conditions


@pytest.mark.parametrize(
    ("by", "makes", "conditions"),
    [
        (SealedBy.CAPTURED_RING, {"captured ring"}, {"captured ring, light duty", "captured ring, heavy duty"}),
        (SealedBy.SEALING_WASHER, {"bonded washer", "copper washer"}, {"sealing washer, steel, light duty"}),
        (None, {"captured ring", "bonded washer", "copper washer"}, None),
        (SealedBy.RING_MADE_UP_HERE, {"captured ring", "bonded washer", "copper washer"}, None),  # no washer's kind
    ],
)
def test_what_is_tightened_and_ordered_is_for_the_washer_that_was_named(
    by: SealedBy | None, makes: set[str], conditions: set[str] | None, ordering: Ordering
) -> None:
    """A sealing washer takes about half of what a captured ring takes on the same stud (memory)."""
    whole = ordering.follow_up("bspp-port/4/stud")
    follow = whole.sealed(by)
    assert {washer.make for need in follow.seals for washer in need.washers} == makes
    found = {figure.condition for figure in (*follow.torque, *follow.turns)}
    assert found == (
        {figure.condition for figure in (*whole.torque, *whole.turns)} if conditions is None else conditions
    )
    flare = ordering.follow_up("flare37/8/male")
    assert flare.sealed(by).torque == flare.torque and flare.sealed(by).turns == flare.turns


def test_a_male_that_takes_either_mate_is_told_of_both(ordering: Ordering) -> None:
    conditions = " ".join(figure.condition for figure in ordering.follow_up("din24-l/18/male").turns)
    assert "cutting ring" in conditions and "O-ring nose" in conditions
