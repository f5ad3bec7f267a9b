"""A worn thread: what was measured across it says less; what else was said, and what is read back, stay."""

from __future__ import annotations

from dataclasses import replace

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

# 3/4-16 with half a millimetre gone from its crests: more than a used thread loses. Common practice, no source.
SAID = "male, outside eighteen point two millimeters, sixteen pitch"


def test_a_diameter_across_a_worn_thread_says_less_than_one_across_a_good_one(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(SAID)
    piece = talk.session.record.work.piece
    good, worn = knowledge.believe(piece), knowledge.believe(replace(piece, worn=True))
    assert [each.option for each in worn.taken] == [each.option for each in good.taken], "read back as it was said"
    of_that_thread = [
        row
        for row, end in enumerate(knowledge.catalogue.ends)
        if end.thread is not None and end.thread.designation.startswith("3/4-16") and end.external
    ]
    assert of_that_thread
    before, after = (float(each.posterior.p[of_that_thread].sum()) for each in (good, worn))
    assert before < 0.3 < 0.7 < after


def test_saying_so_is_enough(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(SAID)
    before = talk.session.snapshot()
    talk.say("the thread is worn")
    assert talk.session.snapshot().none_probability < before.none_probability


def test_what_is_seen_and_counted_is_not_made_vague(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, sixteen pitch, it stands out")
    piece = talk.session.record.work.piece
    good, worn = knowledge.believe(piece), knowledge.believe(replace(piece, worn=True))
    assert [part.probability for part in worn.parts] == [part.probability for part in good.parts]
