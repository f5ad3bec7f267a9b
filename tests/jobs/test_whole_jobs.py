"""Whole jobs through the session, the journal and the slip, checked against published values."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.jobs.technician import answer
from voicefit import __version__
from voicefit.dialogue import Knowledge, Session
from voicefit.driver import Conversation, Hands, grammar_digest, open_knowledge
from voicefit.journal.history import find, sessions_of
from voicefit.journal.replay import replayed
from voicefit.journal.session_log import SessionLog, Versions
from voicefit.journal.store import open_store
from voicefit.ordering.job_slip import job_slip
from voicefit.ordering.naming import end_name
from voicefit.ordering.slip import EndItem, HoseItem, OrderSlip
from voicefit.ordering.slip_text import to_text
from voicefit.records import Append

JOBS: list[dict[str, Any]] = tomllib.loads((Path(__file__).parent / "whole_jobs.toml").read_text())["job"]
BAR_PER_PSI = 0.0689475729


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return open_knowledge()


def test_there_are_at_least_ten() -> None:
    assert len(JOBS) >= 10


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job["title"])
def test_whole_job(job: dict[str, Any], knowledge: Knowledge, tmp_path: Path) -> None:
    location = str(tmp_path / "journal.sqlite")
    said = _speak(job, knowledge, location)
    slip = _slip_from_the_journal(knowledge, location)
    assert len(slip.ends) == len(job["end"]), said
    for end, expected in zip(slip.ends, job["end"], strict=True):
        _check_end(end, expected, knowledge)
    for hose, expected in zip(slip.hoses, job.get("hose", []), strict=True):
        _check_hose(hose, expected)
    for chain, expected in zip(slip.chains, job.get("chain", []), strict=True):
        assert 1 <= len(chain.adapters) <= expected["at_most"]
        assert chain.adapters[-1].ends[1].startswith(f"{expected['to']}/")
    text = to_text(slip)
    assert "Please read them back." in text and "qualified person decide" in text
    assert OrderSlip.model_validate_json(slip.to_json()) == slip


def _speak(job: dict[str, Any], knowledge: Knowledge, location: str) -> str:
    """The whole conversation; what is appended goes into the store. Returns what was said."""
    store = open_store(location)
    versions = Versions(voicefit=__version__, catalogue=knowledge.catalogue.digest, grammar=grammar_digest())
    log = SessionLog.begin(store, versions)
    protocol: list[str] = []

    def append(effect: Append) -> None:
        log.append(effect.kind, effect.data)

    hands = Hands(append=append, say=lambda text: protocol.append(f"< {text}"))
    conversation = Conversation(knowledge, hands=hands)

    def say(text: str) -> None:
        protocol.append(f"> {text}")
        conversation.take_text(text)

    for number, end in enumerate(job["end"]):
        if number:
            say("other end")
        for text in end["first"]:
            say(text)
        answer(conversation, end["is"], end["answers"], say)
        concluded = conversation.session.snapshot().concluded
        assert concluded == end["is"], "\n".join(protocol)
    for chain in job.get("chain", []):
        say(chain["says"])
    for hose in job.get("hose", []):
        say("new hose")
        for text in hose["says"]:
            say(text)
    say("order slip")
    say("finish")
    store.close()
    return "\n".join(protocol)


def _slip_from_the_journal(knowledge: Knowledge, location: str) -> OrderSlip:
    """As the command ``slip`` makes it: from the records alone."""
    store = open_store(location)
    contents = store.contents()
    store.close()
    assert contents.damage == ()
    sessions = sessions_of(contents)
    (job,) = [job for session in sessions for job in session.jobs]
    session, _ = find(sessions, job.id)
    again = replayed(knowledge, session, job, grammar_digest())
    assert not again.changed, "the same catalogue gives the same answer"
    assert job.finished
    facts = Session.replay(knowledge, session.entries).job_facts(job.number)
    return job_slip(knowledge.aftercare.ordering, facts)


def _check_end(end: EndItem, expected: dict[str, Any], knowledge: Knowledge) -> None:
    assert end.id == expected["is"]
    ordering = knowledge.aftercare.ordering
    follow = ordering.follow_up(end.id)
    mates = {mate.id for mate in follow.mating.mates}
    assert set(expected["mates"]) <= mates
    assert not set(expected["never"]) & mates
    refused = {refusal.end.id for refusal in follow.mating.refusals}
    assert set(expected["never"]) <= refused
    names = {end_name(ordering.end(mate)) for mate in expected["mates"]}
    assert set(end.mates) & names
    seal, wanted = end.seals[0], expected["seal"]
    assert seal.kind.value == wanted["kind"]
    if "ring" in wanted:
        assert (seal.o_ring, seal.count) == (wanted["ring"], 1)
        inside = wanted.get("inside_mm") or wanted["inside_in"] * 25.4
        section = wanted.get("section_mm") or wanted["section_in"] * 25.4
        assert seal.inside_diameter_mm == pytest.approx(inside, abs=0.02)
        assert seal.section_mm == pytest.approx(section, abs=0.02)
    if expected.get("pressure") == "none":
        assert end.pressure is None
    else:
        bar = expected["pressure_bar"] if "pressure_bar" in expected else expected["pressure_psi"] * BAR_PER_PSI
        assert end.pressure is not None
        assert end.pressure.low == pytest.approx(bar, rel=0.01)
    if "torque_nm" in expected:
        low, high = 0.98 * expected["torque_nm"], 1.02 * expected["torque_nm"]
        assert any(figure.low <= high and figure.high >= low for figure in end.torque)


def _check_hose(hose: HoseItem, expected: dict[str, Any]) -> None:
    assert hose.id == expected["is"]
    assert hose.rating is not None and hose.rating.bar == expected["pressure_bar"]
    assert (hose.burst_bar, hose.bend_radius_mm, hose.design_factor) == (expected["burst_bar"], expected["bend_mm"], 4)
    first = hose.tolerances[0]
    assert (first.practice, first.plus_mm, first.minus_mm) == ("DIN 20066", expected["plus_mm"], expected["minus_mm"])
    assert len(hose.ends) == 2
