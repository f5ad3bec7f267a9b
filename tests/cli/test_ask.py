"""The commands that take text: documents against the schema, exit codes, bad input."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from voicefit.documents import AnswerDocument

REFERENCE = "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"


def test_reference_case(voicefit):
    """ISO 228-1: G3/8 has 19 tpi and a minor diameter of 14.950 mm, so 19/32 in is its inside."""
    ran = voicefit("ask", "--json", REFERENCE)
    assert ran.code == 0
    answer = AnswerDocument.model_validate(ran.document)
    first = answer.candidates[0]
    assert (first.series, first.dash, first.gender, first.thread) == ("flare30-g", 6, "female", "G3/8")
    assert not answer.identified
    assert answer.next_check is not None
    assert answer.next_check.measurand in ("thread_side", "gender", "seat_form")
    assert answer.reply
    by_measurand = {reading.measurand.value: reading for reading in answer.readings}
    assert by_measurand["outside_diameter"].value_mm == pytest.approx(19 / 32 * 25.4)
    assert by_measurand["outside_diameter"].value_exact == "19/32"
    assert by_measurand["pitch"].pitch_mm == pytest.approx(25.4 / 19)
    assert by_measurand["seat_angle"].value_deg == 30


def test_documents_leave_out_what_does_not_apply(voicefit):
    readings = voicefit("ask", "--json", REFERENCE).document["readings"]
    for reading in readings:
        assert len({"value_mm", "value_deg", "pitch_mm"} & set(reading)) == 1


def test_probabilities_sum_to_at_most_one(voicefit):
    answer = AnswerDocument.model_validate(voicefit("ask", "--json", REFERENCE).document)
    total = sum(candidate.probability for candidate in answer.candidates) + answer.none_probability
    assert 0.5 < total <= 1 + 1e-9
    shares = [candidate.probability for candidate in answer.candidates]
    assert shares == sorted(shares, reverse=True)


def test_each_line_of_stdin_is_a_session_of_its_own(voicefit):
    ran = voicefit("ask", "--json", "-", stdin=f"{REFERENCE}\nnineteen pitch\n\n{REFERENCE}\n")
    assert ran.code == 0
    first, second, third = ran.documents
    assert len(second["readings"]) == 1
    assert first == third


def test_text_output_says_what_is_said(voicefit):
    document = voicefit("ask", "--json", REFERENCE).document
    shown = voicefit("ask", REFERENCE).out
    assert document["reply"] in shown
    assert document["next_check"]["prompt"] in shown


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "silence"),
        ("   ", "silence"),
        ("outside banana", "out_of_grammar"),
        ("outside ninety-nine inches", "out_of_range"),
        ("outside", "incomplete"),
        ("nineteen degrees pitch", "unit_mismatch"),
        ("\x00\x01\x02", "out_of_grammar"),
    ],
)
def test_what_is_not_understood_is_refused_by_name(voicefit, text, reason):
    ran = voicefit("ask", "--json", text)
    answer = AnswerDocument.model_validate(ran.document)
    assert ran.code == 1
    assert reason in {rejection.reason for rejection in answer.rejected}
    assert not answer.readings
    assert not answer.identified
    assert answer.reply


def test_ten_kilobytes_of_text_are_refused(voicefit):
    ran = voicefit("ask", "--json", "nineteen pitch " * 700)
    assert ran.code == 1
    assert ran.document["rejected"][0]["reason"] == "too_long"


def test_replay_keeps_one_session(voicefit, tmp_path: Path):
    script = tmp_path / "shift.txt"
    script.write_text("# a comment\noutside nineteen thirty-seconds\nnineteen pitch\nundo\n", encoding="utf-8")
    ran = voicefit("replay", "--json", str(script))
    assert ran.code == 0
    counts = [len(document["readings"]) for document in ran.documents]
    assert counts == [1, 2, 1]
    for document in ran.documents:
        AnswerDocument.model_validate(document)
    spoken = voicefit("replay", str(script)).out
    assert all(document["reply"] in spoken for document in ran.documents)


@pytest.mark.parametrize(
    ("content", "told"),
    [(b"nineteen pitch\n\xff\xfe\x00", "line 2"), (b"", "holds no utterance"), (b"yes\x00no\n", "line 1")],
)
def test_bad_scripts_are_named(voicefit, tmp_path: Path, content: bytes, told: str):
    script = tmp_path / "bad.txt"
    script.write_bytes(content)
    ran = voicefit("replay", str(script))
    assert ran.code == 2
    assert told in ran.err and "bad.txt" in ran.err
    assert ran.out == ""


def test_missing_script_and_bad_usage(voicefit, tmp_path: Path):
    ran = voicefit("replay", str(tmp_path / "none.txt"))
    assert ran.code == 2 and "none.txt" in ran.err
    assert voicefit("ask").code == 2
    assert voicefit("no-such-command").code == 2


def test_nothing_fits_is_a_result(voicefit):
    ran = voicefit("ask", "--json", "outside three inches, twenty seven pitch, twelve degrees")
    assert ran.code == 1
    assert ran.document["nothing_fits"] and not ran.document["identified"]
    assert ran.document["reply"]


def test_installed_command_answers_from_a_cold_start():
    command = Path(sys.executable).parent / "voicefit"
    ended = subprocess.run([command, "ask", "--json", REFERENCE], capture_output=True, text=True, check=False)
    assert ended.returncode == 0
    assert ended.stderr == ""
    AnswerDocument.model_validate_json(ended.stdout)


def test_help_has_an_example_for_each_command(voicefit):
    for command in ("ask", "hear", "talk", "replay", "demo", "doctor", "catalogue", "hoses", "orings", "flanges"):
        ran = voicefit(command, "--help")
        assert ran.code == 0
        assert "Example" in ran.out, command
