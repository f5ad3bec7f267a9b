"""The outline has the sizes of the tables."""

from __future__ import annotations

import math

import pytest

from voicefit.ordering.outline import DrawnAs, Outline, outline
from voicefit.ordering.room import Ordering
from voicefit.ordering.thread_profile import crest_line


def of(ordering: Ordering, end: str) -> Outline:
    return outline(ordering.end(end), ordering.catalogue.orings)


def test_every_end_has_one(ordering: Ordering) -> None:
    for end in ordering.catalogue.ends:
        drawn = outline(end, ordering.catalogue.orings)
        assert drawn.width_mm > 0 and drawn.height_mm > 0
        for shape in drawn.shapes:
            assert all(math.isfinite(v) for point in shape.points for v in point), end.id
            if shape.role is DrawnAs.METAL:
                assert min(y for _, y in shape.points) >= 0, f"{end.id} reaches over its axis"
                assert area(shape.points) > 0, end.id


def area(points: tuple[tuple[float, float], ...]) -> float:
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


@pytest.mark.parametrize(
    ("thread", "major_mm", "minor_mm", "pitch_mm", "flank_deg"),
    [
        ("G3/8", 16.662, 14.950, 1.337, 27.5),  # ISO 228-1
        ("9/16-18 UNF", 14.2875, 12.76, 1.411, 30),  # ASME B1.1 basic profile
        ("M22×1.5", 22.0, 20.376, 1.5, 30),  # ISO 724
    ],
)
def test_thread_profile(
    thread: str, major_mm: float, minor_mm: float, pitch_mm: float, flank_deg: float, ordering: Ordering
) -> None:
    known = ordering.catalogue.threads[thread]
    points = crest_line(known, 10 * known.pitch_mm)
    radii = [radius for _, radius in points]
    assert 2 * max(radii) == pytest.approx(major_mm, abs=0.005)
    assert 2 * min(radii) == pytest.approx(minor_mm, abs=0.02)
    crests = [x for x, radius in points if radius == max(radii)]
    assert len(crests) == 20  # two corners a crest
    assert crests[2] - crests[0] == pytest.approx(pitch_mm, abs=0.001)
    (x0, r0), (x1, r1) = points[1], points[2]
    assert math.degrees(math.atan2(x1 - x0, r1 - r0)) == pytest.approx(flank_deg)


@pytest.mark.parametrize(
    ("thread", "crest", "root"),
    [("9/16-18 UNF", 1 / 8, 1 / 4), ("M22×1.5", 1 / 8, 1 / 4), ("G3/8", 1 / 6, 1 / 6)],  # ISO 68-1, ISO 228-1 without
)
def test_crests_and_roots_are_as_wide_as_the_profile_has_them(
    thread: str, crest: float, root: float, ordering: Ordering
) -> None:
    known = ordering.catalogue.threads[thread]
    points = crest_line(known, 3 * known.pitch_mm)
    assert len(points) == 2 + 3 * 4 and points[0][0] == 0 and points[-1][0] == pytest.approx(3 * known.pitch_mm)
    xs = [x / known.pitch_mm for x, _ in points]
    assert [xs[3] - xs[2], xs[7] - xs[6]] == pytest.approx([crest, crest], abs=0.02)
    assert xs[5] - xs[4] == pytest.approx(root, abs=0.02) and xs[1] == pytest.approx(root / 2, abs=0.01)
    assert points[2][1] == points[3][1] > points[1][1] == points[4][1]


def test_taper_is_one_in_sixteen_on_the_diameter(ordering: Ordering) -> None:
    thread = ordering.catalogue.threads["1/2-14 NPT"]
    male = crest_line(thread, 8 * thread.pitch_mm)
    female = crest_line(thread, 8 * thread.pitch_mm, internal=True)
    assert 2 * (male[-1][1] - male[0][1]) / (8 * thread.pitch_mm) == pytest.approx(1 / 16)
    assert 2 * (female[-1][1] - female[0][1]) / (8 * thread.pitch_mm) == pytest.approx(-1 / 16)
    # ASME B1.20.1: pitch diameter at the small end E0 of 1/2 is 0.75843 in, at the gauge plane E1 0.77843 in
    assert thread.gauge_length_mm is not None
    assert (thread.pitch_diameter_mm - thread.gauge_length_mm / 16) / 25.4 == pytest.approx(0.75843, abs=0.0002)


@pytest.mark.parametrize(
    ("end", "half_angle_deg"),
    [
        ("flare37/8/male", 37),
        ("flare45/8/male", 45),
        ("flare30-g/6/male", 30),
        ("bspp-cone60/8/female", 30),
        ("din24-s/16/female-o-ring", 12),
    ],
)
def test_a_nose_has_its_angle(end: str, half_angle_deg: float, ordering: Ordering) -> None:
    shape = of(ordering, end).shapes[0 if end.endswith("/male") else -1]
    (x0, r0), (x1, r1) = shape.points[1], shape.points[2]
    assert math.degrees(math.atan2(r1 - r0, x1 - x0)) == pytest.approx(half_angle_deg, abs=0.01)


@pytest.mark.parametrize(("end", "half_angle_deg"), [("din24-l/12/male", 12), ("bspp-cone60/8/male", 30)])
def test_a_recess_has_its_angle(end: str, half_angle_deg: float, ordering: Ordering) -> None:
    points = of(ordering, end).shapes[0].points
    mouth = next(i for i, (x, _) in enumerate(points) if x == 0.0)
    (x0, r0), (x1, r1) = points[mouth - 1], points[mouth]
    assert math.degrees(math.atan2(r1 - r0, x0 - x1)) == pytest.approx(half_angle_deg, abs=0.01)


@pytest.mark.parametrize(("end", "half_angle_deg"), [("flare37/8/female", 37), ("flare30-g/6/female", 30)])
def test_a_nut_shows_the_recess_behind_its_thread(end: str, half_angle_deg: float, ordering: Ordering) -> None:
    """The cone goes in from where the thread ends down to the bore; behind it the same wall as over the thread."""
    nut, tail = (shape.points for shape in of(ordering, end).shapes[:2])
    (x0, r0), (x1, r1) = tail[1], tail[2]
    assert math.degrees(math.atan2(r0 - r1, x1 - x0)) == pytest.approx(half_angle_deg, abs=0.01)
    bore = min(radius for _, radius in tail)
    assert r1 == bore == tail[3][1] and tail[0][1] == tail[4][1] > r0 > bore + 0.5 * (tail[0][1] - bore)
    end_of_thread, back = sorted({x for x, _ in nut})[-2:]
    assert tail[0][0] == x0 == end_of_thread and tail[3][0] - x1 == pytest.approx(back - end_of_thread)
    assert tail[0][1] < min(radius for _, radius in nut)  # it turns in the nut


@pytest.mark.parametrize(("end", "across_mm"), [("flare30-g/6/female", 22.0), ("din24-l/12/male", 19.0)])
def test_size_across_the_flats(end: str, across_mm: float, ordering: Ordering) -> None:
    assert of(ordering, end).height_mm == pytest.approx(across_mm)


def test_an_o_ring_is_drawn_in_its_size(ordering: Ordering) -> None:
    drawn = of(ordering, "orb/6/stud")  # AS568-906: 0.468 x 0.078 in
    (ring,) = [shape for shape in drawn.shapes if shape.role is DrawnAs.SEAL]
    ys = [y for _, y in ring.points]
    assert max(ys) - min(ys) == pytest.approx(0.078 * 25.4, abs=0.01)
    assert 2 * min(ys) == pytest.approx(0.468 * 25.4, abs=0.01)
    sides = [math.dist(p, q) for p, q in zip(ring.points, (*ring.points[1:], ring.points[0]), strict=True)]
    assert max(sides) == pytest.approx(min(sides)), "it is round all the way"
    assert not [s for s in of(ordering, "orb/6/port").shapes if s.role is DrawnAs.SEAL], "the ring sits on the stud"


def test_a_flange_head_shows_its_bolts(ordering: Ordering) -> None:
    drawn = of(ordering, "flange61/16/male")  # SAE J518: head 1-3/4, bolts 2-1/16 x 1-1/32, 0.315 thick
    head = drawn.front[0]
    assert head.diameter_mm == pytest.approx(1.75 * 25.4)
    centres = [circle.centre for circle in drawn.front[2:]]
    assert len(centres) == 4
    assert max(x for x, _ in centres) * 2 == pytest.approx(2.0625 * 25.4)
    assert max(y for _, y in centres) * 2 == pytest.approx(1.03125 * 25.4)
    assert drawn.width_mm == pytest.approx(0.315 * 25.4)
    assert drawn.left_mm == 0 and drawn.height_mm == pytest.approx(1.75 * 25.4)
    assert [circle.centre for circle in drawn.front[:2]] == [(0, 0), (0, 0)]
    assert drawn.front[1].diameter_mm == 25 == 2 * min(y for _, y in drawn.shapes[0].points)  # the way through: DN 25
    assert drawn.shapes[1].points == ((0, 12.5), (0, -12.5))  # its edge in the face
    assert sorted(centres) == [(-x, -y) for x, y in sorted(centres, reverse=True)]  # two and two about the middle
    assert {circle.diameter_mm for circle in drawn.front[2:]} == {10}  # M10
    assert drawn.front_width_mm == pytest.approx(2.0625 * 25.4 + 10)
    assert drawn.front_height_mm == pytest.approx(1.75 * 25.4) and drawn.front_square_mm is None
    assert drawn.free == "the bore"


def test_what_is_not_known_of_a_flange_is_free(ordering: Ordering) -> None:
    """A square one has no round head; of a port and of a gear pump's flange nothing but the bolts is known."""
    square, port, pump = (
        of(ordering, f"flange-{each}") for each in ("square/16/male", "square/16/port", "pump/40/male")
    )
    head = ordering.end("flange-square/16/male").flange
    assert head is not None and square.front_square_mm == head.head_diameter_mm == square.front_width_mm
    assert len(square.front) == len(port.front) == len(pump.front) == 5  # bore and bolts
    assert (square.free, port.free) == ("the bore", "the bore and the thickness")
    assert pump.free == "everything but the bolt pattern" and pump.front_square_mm is None
    bolts = ordering.end("flange-pump/40/male").flange
    assert bolts is not None and pump.height_mm == pytest.approx(0.8 * bolts.bolt_short_mm)  # within the bolts


def test_couplers_show_the_diameter_that_identifies_them(ordering: Ordering) -> None:
    """A probe by its outside, a bore by its inside."""
    probe, bore = of(ordering, "coupler-a/8/male"), of(ordering, "coupler-a/8/female")
    ((_, mm),) = ordering.end("coupler-a/8/male").profile_mm
    assert probe.height_mm == mm and min(y for _, y in bore.shapes[0].points) == mm / 2
    assert bore.height_mm > 1.3 * mm and [each.diameter_mm for each in (*probe.front, *bore.front)] == [mm, mm]
    assert [each.centre for each in (*probe.front, *bore.front)] == [(0, 0), (0, 0)] and probe.left_mm == 0
    assert (probe.free, bore.free) == ("everything but the probe diameter", "everything but the bore diameter")


def test_a_ring_lies_where_it_seals(ordering: Ordering) -> None:
    """In a face a quarter of it stands out of a groove a third wider; on a stud it lies against the shoulder."""
    face = of(ordering, "orfs/4/male")  # AS568-011: 0.301 x 0.070 in
    inside, section = 0.301 * 25.4, 0.070 * 25.4
    (ring,) = [shape for shape in face.shapes if shape.role is DrawnAs.SEAL]
    assert min(x for x, _ in ring.points) == pytest.approx(-section / 4, abs=0.01)
    groove = [point for point in face.shapes[0].points if point[0] == pytest.approx(0.75 * section, abs=0.01)][:2]
    low, high = (radius for _, radius in groove)
    assert high - low == pytest.approx(1.35 * section, abs=0.01)
    assert (high + low) / 2 == pytest.approx((inside + section) / 2, abs=0.01)
    stud = of(ordering, "orb/6/stud")
    (ring,) = [shape for shape in stud.shapes if shape.role is DrawnAs.SEAL]
    shoulder = max(stud.shapes[0].points, key=lambda point: (point[1], -point[0]))[0]
    assert max(x for x, _ in ring.points) == pytest.approx(shoulder)


@pytest.mark.parametrize("end", ["orb/6/port", "npt/8/female", "flare37/6/female", "flare30-g/6/male", "npt/8/male"])
def test_a_section_begins_at_its_face_and_is_bored_through(end: str, ordering: Ordering) -> None:
    drawn, known = of(ordering, end), ordering.end(end)
    metal = [point for shape in drawn.shapes if shape.role is DrawnAs.METAL for point in shape.points]
    assert known.thread is not None and known.dn is not None
    nose = known.external and known.seat_form == "convex"
    assert (min(x for x, _ in metal) < -0.5) == nose and drawn.left_mm == min(x for x, _ in metal)
    assert nose or drawn.left_mm == 0
    assert min(radius for _, radius in metal) * 2 == pytest.approx(min(known.dn, 0.7 * known.thread.minor_diameter_mm))
    threaded = [radius for x, radius in metal if 0 < x < 3 * known.thread.pitch_mm]
    crest = known.thread.major_diameter_mm if known.external else known.thread.minor_diameter_mm
    found = max(threaded) if known.external else min(radius for radius in threaded if radius > known.dn / 2 + 0.5)
    assert 2 * found == pytest.approx(crest, abs=0.6)
    length = max(6 * known.thread.pitch_mm, 0.5 * known.thread.major_diameter_mm)
    assert known.thread.taper or drawn.width_mm > length
