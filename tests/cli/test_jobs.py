"""The commands jobs and slip on a recorded journal."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pypdf
import pytest

from tests.jobs.technician import answer
from voicefit.driver import Conversation, Hands, grammar_digest, open_knowledge
from voicefit.journal.notes import NoteShelf
from voicefit.journal.session_log import SessionLog
from voicefit.journal.store import open_store
from voicefit.ordering.slip import OrderSlip
from voicefit.records import Append, NoteDone

FIRST = ("inside fifteen point one millimeters", "nineteen pitch", "thirty degrees")
ANSWERS = {"seat_form": "recessed", "gender": "female", "seal": "metal seat", "taper": "parallel"}


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a journal of two jobs, and a note beside the first."""
    folder = tmp_path_factory.mktemp("recorded")
    knowledge = open_knowledge()
    store = open_store(folder / "journal.sqlite")
    times = iter(f"2024-05-01T07:{n // 60:02}:{n % 60:02}.000Z" for n in range(3600))
    log = SessionLog.begin(
        store,
        {"voicefit": "0", "catalogue": knowledge.catalogue.digest, "grammar": grammar_digest()},
        clock=lambda: next(times),
    )

    def append(effect: Append) -> None:
        log.append(effect.kind, effect.data)

    conversation = Conversation(knowledge, hands=Hands(append=append))
    for text in FIRST:
        conversation.take_text(text)
    answer(conversation, "flare30-g/6/female", ANSWERS, conversation.take_text)
    name = NoteShelf(folder / "notes").keep(log.session, 1, np.zeros(16_000, np.float32))
    conversation.take(NoteDone(name, 1.0))
    conversation.take_text("new job")
    conversation.take_text("outside nine sixteenths")
    store.close()
    return folder


@pytest.fixture
def journal(recorded: Path, tmp_path: Path) -> Path:
    """A copy that a test may spoil."""
    folder = tmp_path / "journal"
    shutil.copytree(recorded, folder)
    return folder


def ids(voicefit: Callable, journal: Path) -> list[str]:
    ran = voicefit("jobs", "list", "--store", str(journal), "--json")
    assert ran.code == 0
    return [job["id"] for job in ran.document]


def test_list(voicefit, journal: Path) -> None:
    ran = voicefit("jobs", "--store", str(journal), "--json")
    first, second = ran.document
    assert first["pieces"][0]["heard"][:2] == ["inside fifteen point one millimeters", "nineteen pitch"]
    assert first["pieces"][0]["end"] == "flare30-g/6/female"
    assert first["notes"] == [f"{first['session'][:8]}-1-note-1.flac"]
    assert (second["number"], second["pieces"][0]["end"], second["finished"]) == (2, None, False)
    assert first["opened_at"] < first["last_at"] <= second["opened_at"]
    lines = voicefit("jobs", "list", "--store", str(journal)).out.splitlines()
    assert len(lines) == 2 and lines[0].startswith(first["id"]) and "flare30-g/6/female" in lines[0]


def test_show(voicefit, journal: Path) -> None:
    first, _ = ids(voicefit, journal)
    ran = voicefit("jobs", "show", first, "--store", str(journal), "--sounds", str(journal / "notes"), "--json")
    document = ran.document
    assert [record["sequence"] for record in document["records"]] == list(range(len(document["records"])))
    assert document["records"][0]["kind"] == "header"
    assert document["sounds"] == document["job"]["notes"]
    plain = voicefit("jobs", "show", first[:6], "--store", str(journal), "--sounds", str(journal / "notes"))
    assert plain.code == 2 and "more than one job" in plain.err
    plain = voicefit("jobs", "show", first, "--store", str(journal), "--sounds", str(journal / "notes"))
    assert "heard: inside fifteen point one millimeters; nineteen pitch" in plain.out


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (["nineteen"], [1]),
        (["JIS", "female"], [1]),
        (["sixteenths"], [2]),
        (["2024-05"], [1, 2]),
        (["note-1"], [1]),
        (["xyz"], []),
    ],
)
def test_search(words: list[str], found: list[int], voicefit, journal: Path) -> None:
    ran = voicefit("jobs", "search", *words, "--store", str(journal), "--json")
    assert [job["number"] for job in ran.document] == found
    assert ran.code == (0 if found else 1)


def test_export_is_a_journal_again(voicefit, journal: Path, tmp_path: Path) -> None:
    to = tmp_path / "shift.journal"
    ran = voicefit("jobs", "export", "--all", "--to", str(to), "--store", str(journal))
    assert ran.code == 0 and to.stat().st_mode & 0o777 == 0o600
    assert ids(voicefit, to) == ids(voicefit, journal)
    again = voicefit("jobs", "export", ids(voicefit, journal)[1], "--store", str(to))
    assert again.out == to.read_text()
    assert voicefit("jobs", "export", "--all", "--to", str(to), "--store", str(journal)).code == 2, "never over a file"
    assert voicefit("jobs", "export", "--store", str(journal)).code == 2
    assert voicefit("jobs", "export", "--all", "--to", str(tmp_path / "x.txt"), "--store", str(journal)).code == 2


def test_replay(voicefit, journal: Path, tmp_path: Path) -> None:
    first, second = ids(voicefit, journal)
    ran = voicefit("jobs", "replay", first, "--store", str(journal), "--json")
    assert ran.document["changed"] is False
    assert ran.document["catalogue_then"] == ran.document["catalogue_now"]
    assert ran.document["pieces"][0]["now"] == "flare30-g/6/female"
    assert "The answer holds." in voicefit("jobs", "replay", second, "--store", str(journal)).out


def test_replay_says_that_the_answer_changed(voicefit, journal: Path) -> None:
    # The record says that something else was concluded: as if the catalogue had been mended since.
    first, _ = ids(voicefit, journal)
    store = open_store(journal)
    log = SessionLog.resume(
        store, store.contents().records[0].session, {"voicefit": "0", "catalogue": "c", "grammar": "g"}
    )
    last = log.contents().records[-2].data
    log.append("concluded", {"turn": last["turn"], "piece": 1, "end": "bspp-cone60/6/female"})
    store.close()
    ran = voicefit("jobs", "replay", first, "--store", str(journal), "--json")
    piece = ran.document["pieces"][0]
    assert (piece["was"], piece["now"], piece["changed"]) == ("bspp-cone60/6/female", "flare30-g/6/female", True)
    plain = voicefit("jobs", "replay", first, "--store", str(journal)).out
    assert "CHANGED: was bspp-cone60/6/female, is flare30-g/6/female" in plain and "The answer changed." in plain


def test_sounds_are_listed_and_removed(voicefit, journal: Path) -> None:
    notes = journal / "notes"
    ran = voicefit("jobs", "sounds", "--sounds", str(notes), "--json")
    (sound,) = ran.document
    assert (sound["job"], sound["kind"], sound["seconds"]) == (1, "note", 1.0)
    assert voicefit("jobs", "prune", "--sounds", str(notes)).code == 2
    assert voicefit("jobs", "prune", "--older-than", "1", "--sounds", str(notes), "--json").document == {"removed": []}
    assert voicefit("jobs", "prune", "no-such.flac", "--sounds", str(notes)).code == 2
    gone = voicefit("jobs", "prune", ids(voicefit, journal)[0], "--sounds", str(notes), "--json")
    assert gone.document == {"removed": [sound["name"]]}
    assert list(notes.iterdir()) == []
    assert len(ids(voicefit, journal)) == 2, "records are never removed"


def test_damage_is_named_and_the_rest_listed(voicefit, journal: Path, tmp_path: Path) -> None:
    lines = tmp_path / "a.journal"
    voicefit("jobs", "export", "--all", "--to", str(lines), "--store", str(journal))
    text = lines.read_text().splitlines()
    hurt = next(number for number, line in enumerate(text) if "nineteen" in line)
    text[hurt] = text[hurt].replace("nineteen", "eighteen")
    lines.write_text("\n".join(text))
    ran = voicefit("jobs", "list", "--store", str(lines), "--json")
    assert len(ran.document) == 2
    assert f"skipped: a.journal, line {hurt + 1}: checksum does not match" in ran.err


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (("show", "zz"), "a job's id looks like"),
        (("show", "ffffffff-1"), "there is no such job"),
        (("list", "--store", "x.txt"), "a store is a folder"),
        (("list", "--store", "nowhere"), "there is no such folder"),
        (("sync", "--store", "a.sqlite"), "not the URL of a database server"),
    ],
)
def test_bad_use(arguments: tuple[str, ...], reason: str, voicefit, journal: Path) -> None:
    store = () if "--store" in arguments else ("--store", str(journal))
    ran = voicefit("jobs", *arguments, *store)
    assert (ran.code, ran.out) == (2, "") and reason in ran.err


def test_an_empty_journal(voicefit, tmp_path: Path) -> None:
    ran = voicefit("jobs", "list", "--store", str(tmp_path / "new.sqlite"), "--json")
    assert (ran.code, ran.document) == (1, [])


# ---- slip ---------------------------------------------------------------------------------------------


def test_slip_of_a_job(voicefit, journal: Path, tmp_path: Path) -> None:
    first, second = ids(voicefit, journal)
    ran = voicefit("slip", first, "--store", str(journal), "--to", str(tmp_path / "out"), "--json")
    slip = OrderSlip.model_validate(ran.document)
    assert slip.job == first and slip.ends[0].id == "flare30-g/6/female"
    assert slip.opened_at == "2024-05-01T07:00:01.000Z"
    assert slip.notes == (f"{first[:8]}-1-note-1.flac",)
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert names == [f"slip-{first}{suffix}" for suffix in ("-label.pdf", ".csv", ".json", ".pdf", ".txt")]
    assert OrderSlip.model_validate_json((tmp_path / "out" / f"slip-{first}.json").read_text()) == slip
    pdf = pypdf.PdfReader(tmp_path / "out" / f"slip-{first}.pdf")
    assert first in pdf.pages[0].extract_text()
    plain = voicefit("slip", second, "--store", str(journal))
    assert plain.code == 0 and "take it to the counter as a sample" in plain.out


def test_slip_of_ends_by_id(voicefit, tmp_path: Path) -> None:
    ran = voicefit(
        "slip", "--end", "orb/6/stud", "--join", "orb/8/port:bspp-cone60/8/female", "--as", "csv", "--to", str(tmp_path)
    )
    assert ran.code == 0 and ran.out.strip() == str(tmp_path / "slip-without-job.csv")
    assert "orb/8/stud x bspp-cone60/8/male" in (tmp_path / "slip-without-job.csv").read_text(encoding="utf-8-sig")


def test_slip_schema(voicefit) -> None:
    document = voicefit("slip", "--schema").document
    assert document == json.loads(json.dumps(OrderSlip.model_json_schema()))


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((), "give a job's id, or --end"),
        (("--end", "orb/7/stud"), "orb/7/stud: there is no such end"),
        (("--join", "orb/6/stud"), "give ID:ID"),
        (("--end", "orb/6/stud", "--to", "/tmp", "--as", "docx"), "written as text, csv"),
    ],
)
def test_bad_slips(arguments: tuple[str, ...], reason: str, voicefit) -> None:
    ran = voicefit("slip", *arguments)
    assert (ran.code, ran.out) == (2, "") and reason in ran.err


def test_no_chain_is_an_answer(voicefit) -> None:
    ran = voicefit("slip", "--join", "staple/8/male:orb/6/port", "--json")
    assert ran.code == 0 and "no chain of two adapters" in ran.err
    assert OrderSlip.model_validate(ran.document).chains == ()
