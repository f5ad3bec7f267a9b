"""``voicefit explain``: reasons as text and as JSON."""

from __future__ import annotations

from voicefit.cli.explain import ExplainDocument

REFERENCE = "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"


def test_json_is_one_document_of_the_schema(voicefit):
    ran = voicefit("explain", REFERENCE, "--json", "--why-not", "flare37", "--why-not", "bspp-cone60")
    assert ran.code == 0
    document = ExplainDocument.model_validate_json(ran.out)
    assert document.why is not None and document.why.id == "flare30-g/6/female"
    assert [other.id.partition("/")[0] for other in document.why_not] == ["flare37", "bspp-cone60"]
    assert document.what_else is not None and document.what_else.check
    assert document.contradiction == [0, 1]
    outside = next(reason for reason in document.why.reasons if reason.reading == 0)
    assert (outside.measurand, outside.taken_as, outside.fits) == ("outside_diameter", "inside_diameter", False)
    assert outside.nominal == "14.95 mm"


def test_text_has_numbers_a_person_can_check(voicefit):
    ran = voicefit("explain", REFERENCE, "--why-not", "flare37")
    assert ran.code == 0
    assert "G3/8" in ran.out
    assert "taken as inside diameter, nominal 14.95 mm" in ran.out
    assert "against 37 deg, from memory" in ran.out
    assert "do not fit" not in ran.out.splitlines()[0]


def test_any_candidate_is_answered_for_by_the_name_that_people_give_it(voicefit):
    for name, starts in (
        ("jic", "Why not 37° flare"),
        ("forty-five degree flare", "Why not 45° flare"),
        ("orb/6/stud", "Why not straight-thread O-ring boss, stud end, 3/8"),
    ):
        ran = voicefit("explain", REFERENCE, "--why-not", name)
        assert ran.code == 0, ran.err
        assert starts in ran.out


def test_the_end_is_named_as_its_part_is_ordered(voicefit):
    """Cone ends on pipe thread of both countries are one part (common practice): it has one name."""
    ran = voicefit("explain", "inside fifteen millimeters, nineteen pitch, sticks out, sixty degrees, it's a nut")
    assert ran.code == 0
    assert ran.out.startswith("British parallel pipe with 60° cone, female swivel")


def test_an_unknown_series_and_nothing_understood(voicefit):
    ran = voicefit("explain", REFERENCE, "--why-not", "no-such-series")
    assert ran.code == 2
    assert "no-such-series" in ran.err and "flare37" in ran.err
    assert voicefit("explain", "lorem ipsum").code == 1
