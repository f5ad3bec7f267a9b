"""The live session as its user has it: typed here, heard and spoken from a recording where sound is the point."""

from __future__ import annotations

import csv
import resource
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest

from tests.cli.talking import Child, replies
from voicefit.dialogue.snapshot import Pending, ReadingTaken
from voicefit.documents import pending_document
from voicefit.journal.history import sessions_of
from voicefit.journal.store import open_store
from voicefit.ordering.slip import OrderSlip
from voicefit.quantities import millimetres
from voicefit.records import Measurand, Option, Reading

STUD = (  # SAE J1926: 9/16-18 is dash 6
    "outside nine sixteenths",
    "eighteen pitch",
    "a shoulder",
    "stud",
    "o ring at the base",
    "no",  # no gap under the leaf of 18
)


# ---- stock and slip -----------------------------------------------------------------------------------


@pytest.fixture
def stocked(voicefit: Callable, home: Path, tmp_path: Path) -> None:
    path = tmp_path / "shelves.csv"
    path.write_text("Part no;Description;Shelf;Qty\nA1;ORB stud -6;14;2\nA2;ORB stud -8;15;1\n", encoding="utf-8")
    assert voicefit("stock", "import", str(path)).code == 0


def test_what_the_shop_has_is_spoken(stocked: None, talk: Callable) -> None:
    answers = talk(*STUD, "which bin")
    assert any("Identified" in answer["reply"] for answer in answers), replies(answers)
    assert answers[-1]["candidates"][0]["id"] == "orb/6/stud"
    assert "bin fourteen, two left" in answers[-1]["reply"].lower()


def test_without_a_list_it_says_so(talk: Callable) -> None:
    assert replies(talk(*STUD, "which bin"))[-1] == "The shop's list has none."


def test_the_slip_of_a_typed_session_is_read_back(stocked: None, talk: Callable, home: Path) -> None:
    answers = talk(*STUD, "order slip")
    assert "Slip of job one" in answers[-1]["reply"]
    (path,) = (home / "slips").glob("*.json")
    assert {stat.S_IMODE(each.stat().st_mode) for each in path.parent.iterdir()} == {0o600}
    slip = OrderSlip.model_validate_json(path.read_text())
    assert [end.id for end in slip.ends] == ["orb/6/stud"]
    assert [(item.part_number, item.bin, item.quantity) for item in slip.ends[0].stock] == [("A1", "14", 2)]
    text = path.with_suffix(".txt").read_text()
    assert "bin 14" in text and "906" in text  # AS568-906: the ring of dash 6, SAE J1926
    with path.with_suffix(".csv").open(encoding="utf-8-sig", newline="") as file:
        assert any("9/16-18" in cell for row in csv.reader(file) for cell in row)
    paper = " ".join(page.extract_text() for page in pypdf.PdfReader(path.with_suffix(".pdf")).pages)
    assert "9/16-18" in paper and "must measure 50 mm" in paper
    (job,) = (job for session in sessions_of(open_store(home / "journal.sqlite").contents()) for job in session.jobs)
    assert slip.job == job.id


def test_a_slip_that_cannot_be_written_is_told_each_time(voicefit: Callable, home: Path) -> None:
    home.mkdir(parents=True)
    (home / "slips").write_text("in the way")
    ran = voicefit("talk", "--typed", "--json", stdin="\n".join((*STUD, "order slip", "order slip")) + "\n")
    said = [answer["reply"] for answer in ran.documents]
    assert len(said) == 1 + len(STUD) + 2, "one answer a line"
    assert [reply.endswith("The slip could not be written. The screen says why.") for reply in said[-2:]] == [True] * 2
    assert str(home / "slips") in ran.err


# ---- going on after a restart -------------------------------------------------------------------------


def test_what_was_left_open_is_named_and_a_fresh_job_is_in_hand(talk: Callable) -> None:
    talk(*STUD[:2])
    answers = talk("which jobs", "outside one inch", "go back to job one", greeting=True)
    assert answers[0]["reply"] == (
        "Job one is still open: end one, not settled, nine-sixteenths outside, eighteen pitch. "
        "Say go back to job one, or begin job two. First: pressure off, loads down, machine locked."
    )
    assert answers[1]["reply"] == "Job one, one piece; job two, one piece."
    assert len(answers[2]["readings"]) == 1, "nothing of yesterday's end is mixed in"
    assert "Job one, piece one. Nine-sixteenths outside, eighteen pitch." in answers[3]["reply"]
    assert [reading["value_exact"] for reading in answers[3]["readings"]] == ["9/16", "18"]


def test_jobs_are_listed_and_found_by_the_machine_they_are_of(talk: Callable, voicefit: Callable) -> None:
    talk("outside nine sixteenths", "machine kilo seven", "new job", "outside one inch")
    first, second = voicefit("jobs").out.splitlines()
    assert "K7" in first and "K7" not in second
    assert len(voicefit("jobs", "search", "k7", "--json").document) == 1
    missing = voicefit("jobs", "search", "k7", "inch")
    assert (missing.code, missing.out) == (1, "") and "no job has 'k7' and 'inch'" in missing.err


def test_a_job_is_shown_with_what_was_said_once_and_its_adapters(talk: Callable, voicefit: Callable) -> None:
    talk(
        "female, inside point five one, eighteen pitch, thirty seven degrees, it goes in, metal seat", "adapter to npt"
    )
    (job,) = voicefit("jobs", "--json").document
    shown = voicefit("jobs", "show", job["id"]).out
    assert "1. end: flare37/6/female; heard: female; " in shown
    assert "  adapters from flare37/6/female to npt/6/" in shown
    slip = OrderSlip.model_validate(voicefit("slip", job["id"], "--json").document)
    assert slip.chains[0].rating.weakest is not None and slip.chains[0].adapters


def test_a_job_is_gone_on_with_by_its_id(talk: Callable, voicefit: Callable) -> None:
    talk(*STUD[:2], "new job", "outside one inch")
    first, second = (job["id"] for job in voicefit("jobs", "--json").document)
    answers = talk(*STUD[2:], options=("--job", first), greeting=True)
    assert "Job one, piece one." in answers[0]["reply"] and "pressure off" in answers[0]["reply"]
    assert answers[-1]["identified"] and answers[-1]["candidates"][0]["id"] == "orb/6/stud"
    jobs = voicefit("jobs", "--json").document
    assert [(job["id"], job["pieces"][0]["end"]) for job in jobs] == [(first, "orb/6/stud"), (second, None)]


def test_a_finished_job_is_not_named_and_a_new_session_begins(talk: Callable, voicefit: Callable) -> None:
    talk("outside one inch", "finish")
    assert replies(talk("which jobs")) == ["Job one, one piece."]
    assert len(voicefit("jobs", "--json").document) == 1, "a job in which nothing was said is none"


def test_a_fresh_job_is_made_once(talk: Callable) -> None:
    talk("outside one inch")
    for _ in range(3):
        talk("which jobs", "new job")
    assert replies(talk("which jobs"))[-1] == "Job one, one piece; job two, one piece."


@pytest.mark.parametrize(("job", "reason"), [("ffffffff-1", "there is no such job"), ("x", "looks like 3f9c21ab-2")])
def test_a_job_that_is_not_there(job: str, reason: str, voicefit: Callable, home: Path) -> None:
    ran = voicefit("talk", "--typed", "--job", job)
    assert ran.code == 2 and reason in ran.err


def test_killed_in_the_middle_it_goes_on_where_it_was(talk: Callable, home: Path) -> None:
    child = Child()
    try:
        for line in STUD[:3]:
            last = child.say(line)
    finally:
        child.kill()
    assert len(last["readings"]) == 3
    answers = talk("go back to job one", *STUD[3:], greeting=True)
    assert "Job one is still open" in answers[0]["reply"]
    assert len(answers[1]["readings"]) == 3, "all that was confirmed is there"
    assert answers[-1]["identified"] and answers[-1]["candidates"][0]["id"] == "orb/6/stud"


def test_two_processes_on_one_store_do_not_take_the_same_session(
    talk: Callable, voicefit: Callable, home: Path
) -> None:
    child = Child()
    try:
        child.say("outside nine sixteenths")
        (job,) = voicefit("jobs", "--json").document
        ran = voicefit("talk", "--typed", "--job", job["id"])
        assert ran.code == 2 and "is open in another window" in ran.err
        assert replies(talk("which jobs")) == ["Job one, one piece."], "a session of its own"
        assert len(child.say("eighteen pitch")["readings"]) == 2
    finally:
        child.kill()
    assert "Job one is still open" in replies(talk("which jobs", greeting=True))[0], "the dead one let go of it"


def test_a_corrupt_record_in_the_middle_is_named_and_the_rest_goes_on(
    talk: Callable, voicefit: Callable, home: Path
) -> None:
    path = home / "shift.journal"
    store = ("--store", str(path))
    talk(*STUD[:2], "new job", "outside one inch", options=store)
    lines = path.read_text().splitlines()
    hurt = next(n for n, line in enumerate(lines) if '"kind":"new_job"' in line)
    lines[hurt] = lines[hurt].replace("new_job", "new_jab")
    path.write_text("\n".join(lines) + "\n")
    ran = voicefit("talk", "--typed", "--json", *store, stdin="which jobs\n")
    assert ran.code == 0 and f"skipped: shift.journal, line {hurt + 1}: checksum does not match" in ran.err
    assert "is still open" in ran.documents[0]["reply"]
    (job,) = voicefit("jobs", "--json", *store).document
    assert voicefit("jobs", "replay", job["id"], *store).code == 0
    assert voicefit("slip", job["id"], *store).code == 0


@pytest.mark.skipif(sys.platform != "linux", reason="limits another process")
def test_a_full_disk_is_told_and_nothing_is_confirmed_that_is_not_kept(talk: Callable, home: Path) -> None:
    child = Child("--store", str(home / "shift.journal"))
    try:
        child.say("outside nine sixteenths")
        most = resource.prlimit(child.process.pid, resource.RLIMIT_FSIZE)
        full = (home / "shift.journal").stat().st_size + 10
        resource.prlimit(child.process.pid, resource.RLIMIT_FSIZE, (full, most[1]))
        refused = child.say("eighteen pitch")
        assert refused["reply"].startswith("The record cannot be written. The last value is not kept."), refused[
            "reply"
        ]
        assert [each["value_exact"] for each in refused["readings"]] == ["9/16"]
        resource.prlimit(child.process.pid, resource.RLIMIT_FSIZE, most)
        assert len(child.say("eighteen pitch")["readings"]) == 2
    finally:
        told = child.kill()
    assert f"{home / 'shift.journal'}: cannot write (File too large)" in told
    answers = talk("go back to job one", greeting=True, options=("--store", str(home / "shift.journal")))
    assert [each["value_exact"] for each in answers[1]["readings"]] == ["9/16", "18"]


def test_a_store_that_cannot_be_written_is_named(voicefit: Callable, home: Path) -> None:
    home.mkdir(parents=True)
    (home / "notes.sqlite").mkdir()
    ran = voicefit("talk", "--typed", "--store", str(home / "notes.sqlite" / "x.sqlite" / "y.sqlite"), stdin="help\n")
    assert ran.code == 0
    (home / "file").write_text("")
    ran = voicefit("talk", "--typed", "--store", str(home / "file" / "y.sqlite"), stdin="help\n")
    assert ran.code == 2 and f"{home / 'file'}: cannot make the folder" in ran.err


# ---- the documents ------------------------------------------------------------------------------------


def test_the_first_document_is_there_before_anything_is_said(talk: Callable) -> None:
    (first,) = talk(greeting=True)
    assert first["heard"] == "" and first["readings"] == [] and first["state"] == "open"
    (asked,) = first["next_checks"]
    assert first["next_check"] == asked and first["reply"].startswith("Ready.")
    assert first["reply"].endswith(asked["prompt"]) and first["cautions"], "what is asked is what is open"


def test_every_line_has_one_document_whatever_it_is(talk: Callable) -> None:
    lines = (
        "",
        "   ",
        "blah",
        "нет",
        "x" * 10_000,
        "sleep",
        "nineteen pitch",
        "wake up",
        "another voice",
        "note",
        "slip",
    )
    answers = talk(*lines)  # the fixture counts them
    assert answers[5]["did"] == ["sleep"]


def test_a_document_says_what_was_done_and_what_is_open(talk: Callable) -> None:
    start, asked, done = talk("outside nine sixteenths", "remove all audio", "no")
    assert start["pending"] is None and start["did"] == []
    assert asked["pending"]["kind"] == "confirm" and len(asked["pending"]["options"]) == 1
    assert asked["pending"]["options"][0]["readings"] == []
    assert done["pending"] is None and "no" in done["did"]


def test_what_is_offered_stands_in_the_document_as_words_and_as_readings() -> None:
    options = [Option(Measurand.HEX, millimetres(value)) for value in ("15", "50")]
    readings = tuple((ReadingTaken(Reading(str(o.value), (o,)), o, 0.5),) for o in options)
    document = pending_document(Pending("choose", ("Fifteen", "Fifty"), readings))
    assert [option.words for option in document.options] == ["Fifteen", "Fifty"]
    assert [[reading.value_mm for reading in option.readings] for option in document.options] == [[15.0], [50.0]]


def test_an_identified_end_has_no_next_check_and_says_what_decided(talk: Callable) -> None:
    said = "female, inside point five one, eighteen pitch, thirty seven degrees, it goes in, metal seat"
    (last,) = talk(said)
    assert (last["state"], last["concluded"], last["decided_by"]) == ("identified", "flare37/6/female", "checks")
    assert last["next_check"] is None and last["next_checks"] == []


def test_a_hose_in_hand_has_its_facts(talk: Callable) -> None:
    last = talk("hose", "half inch hose")[-1]
    assert last["hose"] is not None and last["hose"]["bore_mm"] == 12.7


def test_without_the_phones_page_it_says_how_to_get_it(
    voicefit: Callable, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "voicefit.phone.hosting", None)
    for option in ("--phone", "--glance"):
        ran = voicefit("talk", option)
        assert ran.code == 3 and "pip install 'voicefit[phone]'" in ran.err and ran.err.count("\n") == 1
