"""The variant that the readings say is named, ordered and described, not the end by which its part is named."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

SAID = "half inch british parallel female, cone sticks out, fourteen pitch, thirty degrees, inside nineteen millimeters"
RING = "British parallel with sixty degree cone with O-ring nose, female"


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def test_a_variant_that_seals_otherwise_has_a_name_of_its_own(knowledge: Knowledge) -> None:
    ends, seals = knowledge.catalogue.ends, knowledge.aftercare.seals
    found = 0
    for row, end in enumerate(ends):
        part = knowledge.names.rows[end.part]
        if ends[part].series == end.series and seals(row) != seals(part):
            found += 1
            assert knowledge.end_words(row) != knowledge.end_words(part), end.id
        else:
            assert knowledge.end_words(row) == knowledge.end_words(part), end.id
    assert found


def test_the_ring_in_the_cone_is_named_ordered_and_described(talk: Talk) -> None:
    assert f"Identified: one-half {RING}" in talk.say(f"{SAID}, o ring in the cone")
    assert RING in talk.say("order two")
    assert talk.say("where are we").startswith(f"It stays one-half {RING}")
    assert "O-ring in the cone" in talk.say("what seals it")
    order = next(iter(talk.session.job_facts().ends))
    assert order.end == "bspp-cone60/8/female-o-ring"


def test_what_was_identified_is_named_anew_when_the_ring_is_found(talk: Talk) -> None:
    assert RING not in talk.say(SAID)
    assert RING in talk.say("there is a ring in the cone")
    assert RING in talk.say("order slip")


def test_what_all_variants_seal_by_is_said_once_and_first(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, N P T, half inch")
    answer = talk.say("what seals it")
    assert "male: the taper thread, with sealant and no tape." in answer and "depends" not in answer
    rest = talk.say("more")
    assert rest.startswith("With inner seat: metal on metal") and "taper thread" not in rest


def test_a_female_end_stays_one_whatever_its_seat(knowledge: Knowledge) -> None:
    for text in ("female end with a cone, 18 by 1.5", "female end, metric", "it's the female end"):
        talk = Talk(knowledge)
        talk.say(text)
        assert "not female" not in talk.say("the seat does not stand out")
