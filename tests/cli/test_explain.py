"""``voicefit explain``: reasons as text and as JSON."""

from __future__ import annotations

from voicefit.cli.explanations import ExplainDocument

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
    assert "against 14.95 mm" in ran.out
    assert "against 37 deg" in ran.out
    assert "do not fit" not in ran.out.splitlines()[0]


def test_an_unknown_series_and_nothing_understood(voicefit):
    ran = voicefit("explain", REFERENCE, "--why-not", "no-such-series")
    assert ran.code == 2
    assert "no-such-series" in ran.err and "flare37" in ran.err
    assert voicefit("explain", "lorem ipsum").code == 1
