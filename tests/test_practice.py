"""The piece to practise on: what it says is understood as it is meant, and leads to the end that it is."""

from __future__ import annotations

import pytest

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue import Knowledge, Snapshot
from voicefit.driver import Conversation, open_knowledge
from voicefit.practice import PracticePiece
from voicefit.quantities import Quantity, Unit, exact
from voicefit.records import Check, Gender, Measurand, Option

MOST_TURNS = 16


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return open_knowledge()


def middle_of_each_kind(knowledge: Knowledge) -> list[CandidateEnd]:
    kinds: dict[str, list[CandidateEnd]] = {}
    for end in knowledge.catalogue.ends:
        kinds.setdefault(end.kind, []).append(end)
    return [ends[len(ends) // 2] for ends in kinds.values()]


def practised(knowledge: Knowledge, piece: PracticePiece) -> tuple[Snapshot, list[str]]:
    """The session of somebody who says what the practice says; and what of it was refused."""
    conversation, refused = Conversation(knowledge), []
    snapshot = conversation.take_text(piece.introduction()[0])
    for _ in range(MOST_TURNS):
        check = snapshot.advice.check
        if snapshot.concluded is not None or check is None:
            break
        snapshot = conversation.take_text(piece.found(check))
        refused += [rejection.text for rejection in snapshot.rejected]
    return snapshot, refused


def test_who_says_what_is_found_is_understood_and_never_told_wrong(knowledge: Knowledge) -> None:
    pieces = [PracticePiece(knowledge, end) for end in middle_of_each_kind(knowledge)]
    ended = [(piece, *practised(knowledge, piece)) for piece in pieces]
    assert [(piece.end.id, refused) for piece, _, refused in ended if refused] == []
    concluded = [(piece, snapshot.concluded) for piece, snapshot, _ in ended if snapshot.concluded is not None]
    assert [(piece.end.id, end) for piece, end in concluded if not piece.is_it(end)] == []
    assert len(concluded) > 0.85 * len(pieces)


def end_of(knowledge: Knowledge, end_id: str) -> CandidateEnd:
    return next(end for end in knowledge.catalogue.ends if end.id == end_id)


@pytest.mark.parametrize(
    ("end", "measurand", "found"),
    [
        # G3/8 has 19 threads per inch and a minor diameter of 14.950 to 15.395 mm, ISO 228-1
        ("bspp-cone60/6/female", Measurand.PITCH, "nineteen"),
        ("bspp-cone60/6/female", Measurand.INSIDE_DIAMETER, "fifteen point two"),
        # 3/4-16 UNF, SAE J514: read by who has inches
        ("flare37/8/male", Measurand.OUTSIDE_DIAMETER, "point seven four"),
        ("flare37/8/male", Measurand.SEAT_ANGLE, "thirty-seven"),
        # a cone is named by its included angle
        ("din24-l/15/male", Measurand.SEAT_ANGLE, "twenty-four"),
        ("din24-l/15/male", Measurand.TUBE_OUTSIDE_DIAMETER, "fifteen"),
        ("din24-l/15/male", Measurand.FLANGE_HEAD_DIAMETER, "can't tell"),
    ],
)
def test_findings_are_those_of_the_standards(knowledge: Knowledge, end: str, measurand: Measurand, found: str) -> None:
    piece = PracticePiece(knowledge, end_of(knowledge, end))
    assert found in piece.found(Check("any", measurand, 1.0))


def leaf(text: str, unit: Unit = Unit.THREADS_PER_INCH) -> Option:
    return Option(Measurand.PITCH, Quantity(exact(text), unit), negated=True)


@pytest.mark.parametrize(
    ("end", "yes", "found"),
    [
        ("npt/2/male", leaf("28"), "yes"),  # a gap: it has 27
        ("npt/2/male", leaf("27"), "no"),
        ("bspt/2/male", leaf("28"), "no"),
        ("din24-l/15/male", leaf("1.5", Unit.MILLIMETRE), "no"),
        ("din24-l/15/male", leaf("16"), "yes"),  # 1.5875 mm
        ("banjo/10/male", Option(Measurand.SHAPE, "banjo"), "yes"),
        ("orb/6/stud", Option(Measurand.SHAPE, "banjo"), "no"),
        ("orb/6/port", Option(Measurand.SEAL, "base_o_ring"), "yes"),  # the chamfer for it
        ("metric-port/18/port", Option(Measurand.SEAL, "base_o_ring"), "no"),
        ("staple/8/male", leaf("19"), "can't tell"),
    ],
)
def test_a_yes_is_one_to_what_was_asked(knowledge: Knowledge, end: str, yes: Option, found: str) -> None:
    no = Option(yes.measurand, yes.value, negated=not yes.negated)
    piece = PracticePiece(knowledge, end_of(knowledge, end))
    assert piece.found(Check("any", yes.measurand, 1.0, yes=yes, no=no)) == found


def test_the_introduction_says_what_is_there_and_no_more(knowledge: Knowledge) -> None:
    stud = PracticePiece(knowledge, end_of(knowledge, "orb/6/stud")).introduction()
    assert stud[0] == Gender.STUD.value and any("base" in words for words in stud)
    assert not any("flange" in words or "tube" in words for words in stud)
