"""Whether something goes on: yes only where all that was named of it is the mate's, size and thread among it."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.dialogue.talk import Talk, knowledge_of_the_project
from voicefit.catalogue import CandidateEnd
from voicefit.dialogue import Knowledge
from voicefit.interpretation.spelling import say_number
from voicefit.quantities import exact
from voicefit.records import Gender

JIC_10 = "male, seven eighths outside, fourteen pitch, cone sticks out, thirty seven degrees, tube five eighths"
ORFS_10 = "male, ORFS, outside one inch, fourteen pitch, flat face"
HEAVY_25 = "male, heavy, M thirty six by two, twenty four degrees, twenty five tube"
G_3_4 = "female swivel, G three quarter, sixty degree cone"
METRIC_30 = "female, thirty degree flare on metric thread, M twenty two by one and a half"
NPT_1_2 = "female, tapered thread, N P T half inch, no seat, fourteen pitch"
CODE_61 = "flange, code sixty one, head two point eight one inches, ten and a half thick"  # two inch
COUPLER = "half inch quick coupler series A, male"


def asked(knowledge: Knowledge, said: str, question: str) -> str:
    talk = Talk(knowledge)
    talk.say(said)
    kept = talk.snapshot.readings
    reply = talk.say(question)
    assert talk.snapshot.readings == kept, question
    return reply


def is_yes(reply: str) -> bool:
    return "es: " in reply


def is_no(reply: str) -> bool:
    return ("No" in reply or "If so: no" in reply or ", no: " in reply) and not is_yes(reply)


@pytest.mark.parametrize(
    ("said", "questions"),
    [
        (JIC_10, ("will a dash ten JIC nut fit", "will a five eighths JIC fit", "will a dash ten nut fit")),
        (JIC_10, ("will a seven eighths fourteen nut fit", "does a seven eighths fourteen JIC go on it")),
        (JIC_10, ("can I put a five eighths JIC on it", "will it take a dash ten JIC")),
        (ORFS_10, ("will a five eighths ORFS nut fit", "will a one inch fourteen nut go on")),
        (HEAVY_25, ("will an M thirty six nut go on", "will a twenty five heavy nut fit", "will an M 36 by 2 nut fit")),
        (G_3_4, ("will a three quarter BSP male go in", "will it go on a three quarter male")),
        (METRIC_30, ("will it go on an M twenty two male", "will it go on an M twenty two by one and a half male")),
        (NPT_1_2, ("will a half inch NPT male go in",)),
        (CODE_61, ("will a two inch code 61 port take it", "will a two inch flange go on it", "do 61 clamps fit")),
        (COUPLER, ("will a half inch series A go on",)),
    ],
)
def test_any_of_its_mates_names_is_a_yes(knowledge: Knowledge, said: str, questions: tuple[str, ...]) -> None:
    for question in questions:
        assert is_yes(asked(knowledge, said, question)), (question, asked(knowledge, said, question))


@pytest.mark.parametrize(
    ("said", "question", "names"),
    [
        (JIC_10, "will a dash twelve JIC nut fit", "three-quarters thirty seven degree flare, female"),
        (JIC_10, "will it go on a one inch JIC", "one inch thirty seven degree flare"),
        (JIC_10, "will a half inch one go on", "one-half thirty seven"),
        (JIC_10, "will a three quarter BSP nut go on", "G three-quarters"),
        (JIC_10, "will an M22 by one and a half nut go on it", "M twenty-two by one and a half"),
        (JIC_10, "will a male JIC go on", "It mates with five-eighths thirty seven degree flare, female"),
        (ORFS_10, "will a one inch BSP go on", "G one"),
        (ORFS_10, "will a three quarter ORFS nut fit", "three-quarters O-ring face seal"),
        (ORFS_10, "will a one and three sixteenths twelve nut fit", "one and three-sixteenths twelve"),
        (HEAVY_25, "will a twenty heavy nut fit", "twenty millimeter heavy"),
        (HEAVY_25, "will an M thirty by two nut fit", "M thirty by two"),
        (HEAVY_25, "will a twenty eight light nut fit", "another tube"),
        (G_3_4, "will a one inch BSP male go in", "G one eleven"),
        (G_3_4, "will a three quarter NPT go in it", "screws on"),
        (G_3_4, "will a one inch eleven and a half NPT go in", "N P T one"),
        (METRIC_30, "will it go on a half inch G Japanese male", "one-half thirty degree flare on pipe thread"),
        (METRIC_30, "will it go on a half inch BSP male", "G one-half"),
        (METRIC_30, "will it go on an M twenty four", "M twenty-four"),
        (NPT_1_2, "will a three quarter NPT male go in", "N P T three-quarters"),
        (NPT_1_2, "will a half inch BSP male go in", "screws on"),
        (CODE_61, "will a one inch code 61 port take it", "one inch code sixty one"),
        (CODE_61, "will an inch and a half code 61 clamp go on", "one and a half inch code sixty one"),
        (CODE_61, "will a one inch flange go on it", "one inch code sixty one"),
        (CODE_61, "will a two inch code 62 clamp fit", "two inch code sixty two"),
        (COUPLER, "will a three quarter series A go on", "three-quarters quick coupler series A"),
    ],
)
def test_what_differs_in_anything_named_is_a_no_that_names_it(
    knowledge: Knowledge, said: str, question: str, names: str
) -> None:
    reply = asked(knowledge, said, question)
    assert is_no(reply), reply
    assert names in reply


def test_a_size_that_may_be_the_threads_is_no_plain_yes(knowledge: Knowledge) -> None:
    """A dash fourteen flare is called seven-eighths, and the thread of a dash ten measures so."""
    reply = asked(knowledge, JIC_10, "will a seven eighths JIC nut go on")
    assert not is_yes(reply)
    assert "only if seven-eighths fourteen is its thread" in reply


@pytest.mark.parametrize(
    "question", ["will a one and a half inch JIC go on", "does an M thirty six by one and a half fit"]
)
def test_the_and_of_a_number_joins_no_two_ends(knowledge: Knowledge, question: str) -> None:
    assert "Of " not in asked(knowledge, JIC_10, question)


def _sizes(series: str, gender: Gender) -> list[CandidateEnd]:
    ends = [end for end in knowledge_of_the_project().catalogue.ends if (end.series, end.gender) == (series, gender)]
    ends = list({end.nominal: end for end in ends}.values())
    return sorted(ends, key=lambda end: exact(end.nominal))


def _called(end: CandidateEnd) -> str:
    return f"dash {say_number(end.dash)}" if end.dash is not None else say_number(exact(end.nominal))


@pytest.mark.parametrize(
    ("series", "name", "noun"),
    [("flare37", "JIC", "nut"), ("orfs", "ORFS", "nut"), ("din24-s", "heavy", "nut"), ("din24-l", "light", "nut")],
)
def test_of_each_size_of_a_series_its_own_goes_on_and_the_next_ones_do_not(
    knowledge: Knowledge, series: str, name: str, noun: str
) -> None:
    """Sizes are those of the catalogue: each end is told by its series and size, and its neighbours are asked about."""
    ends, tried = _sizes(series, Gender.MALE), 0
    for one, other in pairwise(ends):
        for own, named in ((one, one), (one, other), (other, one)):
            talk = Talk(knowledge)
            talk.say(f"male {_called(own)} {name}")
            reply = talk.say(f"will a {_called(named)} {name} {noun} go on")
            if knowledge.names.end(own, brief=True).split(",")[0] not in reply:
                continue  # so little does not tell it
            tried += 1
            assert is_yes(reply) == (own is named), (own.id, named.id, reply)
    assert tried > len(ends)


@pytest.mark.parametrize("size", [end.nominal for end in _sizes("bspp-cone60", Gender.FEMALE)])
def test_of_another_thread_it_is_said_that_it_screws_on_where_it_does(knowledge: Knowledge, size: str) -> None:
    nut = next(end for end in _sizes("bspp-cone60", Gender.FEMALE) if end.nominal == size)
    own = next(end for end in knowledge.catalogue.ends if end.id == "orfs/10/male")
    refused = {each.end.id for each in knowledge.aftercare.ordering.rules.of(own).refusals}
    reply = asked(knowledge, ORFS_10, f"will a {knowledge.names.size(nut)} BSP nut go on")
    assert is_no(reply), reply
    assert ("screws on" in reply) == (nut.id in refused), reply


def test_a_port_of_a_series_that_has_none_is_its_female(knowledge: Knowledge) -> None:
    for question in ("will a JIC port take it", "does it go in a dash ten JIC port"):
        assert is_yes(asked(knowledge, JIC_10, question)), question
    assert is_no(asked(knowledge, JIC_10, "will an ORFS port take it"))
