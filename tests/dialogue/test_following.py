"""After the identification, and the hose: figures against the tables, the facts of the slip against what was said."""

from __future__ import annotations

from dataclasses import replace

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.hoses import standing
from voicefit.ordering.hose import Topic
from voicefit.ordering.job_slip import JobFacts, job_slip
from voicefit.ordering.slip import StockItem

IDENTIFIED = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"


def test_pressure_is_never_rounded_up(knowledge: Knowledge) -> None:
    """SAE J514 gives 5000 psi for this end, which is 344.7 bar: said as 344 bar, and as 5000 psi."""
    talk = Talk(knowledge)
    talk.say(IDENTIFIED)
    assert "hree hundred forty-four bar" in talk.say("what pressure")
    talk.say("use inches")
    assert "ive thousand P S I" in talk.say("what pressure")


def test_what_has_no_figure_is_said_to_have_none(knowledge: Knowledge) -> None:
    for row, end in enumerate(knowledge.catalogue.ends):
        if not end.pressure:
            assert knowledge.aftercare.pressures(row, psi=False) == ()
            return
    raise AssertionError("every end has a pressure: look for another gap")


def test_the_slip_has_what_was_identified_and_asked_for(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(IDENTIFIED)
    talk.say("adapter to face seal")
    talk.say("other end")
    talk.say("nineteen pitch")
    talk.say("R two A T dash six")
    talk.say("seven hundred millimeters long")
    talk.say("mineral oil")
    facts = talk.session.job_facts()
    assert [(end.end, end.readings[-1]) for end in facts.ends] == [
        ("flare37/6/male", "seat form convex"),
        (None, "pitch 19 tpi"),
    ]
    assert facts.goals[0][0] == "flare37/6/male"
    (order,) = facts.hoses
    assert order.hose is not None
    assert (order.hose.type.id, order.hose.dash) == ("sae-r2", 6)
    assert order.facts.length_mm == 700
    assert order.facts.fluid == "mineral-oil"
    slip = job_slip(knowledge.aftercare.ordering, facts)
    assert slip.ends[0].thread == "9/16-18 UNF"
    assert slip.ends[1].id is None
    assert slip.hoses[0].fluid.startswith("mineral oil")


def test_the_shop_s_own_stock_is_said_by_bin_and_count(knowledge: Knowledge) -> None:
    parts = {"flare37/6/male": [StockItem(part_number="A-1", bin="14", quantity=2), StockItem(part_number="A-2")]}
    talk = Talk(knowledge.with_stock(lambda part: parts.get(part, [])))
    assert talk.say("is it in stock").startswith("First tell me what you see or measure.")
    talk.say(IDENTIFIED)
    assert talk.say("is it in stock") == "Bin fourteen, two left; no bin named, not counted."
    other = Talk(knowledge)
    other.say(IDENTIFIED)
    assert other.say("which bin") == "The shop's list has none."


def test_of_several_editions_of_a_hose_the_weakest_counts(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("R two A T dash six")
    (order,) = talk.session.job_facts().hoses
    same = [h for h in knowledge.catalogue.hoses if (h.type.id, h.dash) == ("sae-r2", 6)]
    assert order.hose is not None
    assert order.hose.pressure_bar == min(hose.pressure_bar for hose in same)


def test_the_interview_asks_in_the_order_of_the_mnemonic(knowledge: Knowledge) -> None:
    skipped: set[str] = set()
    asked = []
    while True:
        check = standing(knowledge.catalogue.hoses, (), (), frozenset(skipped)).advice.check
        if check is None:
            break
        asked.append(check.id)
        skipped.add(check.id)
    order = [f"hose-{topic.value}" for topic in Topic]
    assert asked == [topic for topic in order if topic in asked]
    assert len(asked) == 7


def test_the_wrench_is_said_with_the_torque(knowledge: Knowledge) -> None:
    # DIN 3870: the nut of 15 mm light tube is 27 across the flats, the body 24 (memory); SAE J512: 5/8 for 3/8 tube
    ends, aftercare = knowledge.catalogue.ends, knowledge.aftercare
    rows = {end.id: row for row, end in enumerate(ends)}
    assert aftercare.wrench(rows["din24-l/15/male"]) == "twenty-four millimeters, from memory"
    assert aftercare.wrench(rows["inverted-flare/6/male"]) == "five-eighths, from memory"
    assert aftercare.wrench(rows["flare37/6/female"]) == "eleven-sixteenths"  # read in TM 55-1520-240-23-1
    assert aftercare.wrench(rows["orb/10/port"]) == ""


def test_what_follows_is_said_in_the_singular_and_with_its_own_standard_once(knowledge: Knowledge) -> None:
    aftercare = knowledge.aftercare
    rows = {end.id: row for row, end in enumerate(knowledge.catalogue.ends)}
    said = " / ".join(aftercare.tightening(rows["flare37/10/male"]))
    assert "one flat, past finger tight" in said and "one and a half flats" in said
    said = next(each for each in aftercare.tightening(rows["iso6149/22/port"]) if "sixty-one forty-nine" in each)
    assert said.count("sixty-one forty-nine") == 1 and said.startswith("from memory: ")
    assert "nineteen point three by two point two, I S O" in aftercare.seals(rows["iso6149/22/stud"])[0]
    assert "A S five sixty-eight, nine zero six" in aftercare.seals(rows["orb/6/stud"])[0]


def test_a_mate_is_named_in_the_size_of_the_end(knowledge: Knowledge) -> None:
    # JIS B 8363: G3/4 is met at dash 10 and at dash 12
    aftercare = knowledge.aftercare
    rows = {end.id: row for row, end in enumerate(knowledge.catalogue.ends)}
    assert aftercare.mates(rows["flare30-g/12/male"], psi=False) == (
        "three-quarters thirty degree flare on pipe thread, female, dash twelve",
    )
    found = aftercare.mates(rows["bspp-port/12/port"], psi=False)
    assert any(each.startswith("G three-quarters banjo bolt, male, ") for each in found)


def test_what_locks_by_itself_has_nothing_to_tighten(knowledge: Knowledge) -> None:
    aftercare = knowledge.aftercare
    loose = {end.series for row, end in enumerate(knowledge.catalogue.ends) if not aftercare.is_screwed(row)}
    assert loose == {"staple", "coupler-a", "coupler-b", "coupler-flat"}


def test_machine_practice_is_said_first_and_books_by_their_kind(knowledge: Knowledge) -> None:
    rows = {end.id: row for row, end in enumerate(knowledge.catalogue.ends)}
    said = knowledge.aftercare.tightening(rows["flare37/6/male"])
    aircraft = [number for number, each in enumerate(said) if "aircraft practice" in each]
    assert aircraft and aircraft == list(range(len(said) - len(aircraft), len(said)))
    assert said[0] == "twenty to thirty-three newton meters, by an engine workshop manual"
    british = knowledge.aftercare.tightening(rows["bspp-port/4/stud"])
    assert "from memory: thirty-five newton meters, captured ring, light duty" in british  # of no book that is named


def test_a_recalled_tube_is_said_to_be_one(knowledge: Knowledge) -> None:
    """The tube of 37 degrees, dash 6, was read in TM 55-1520-240-23-1; heavy cones have theirs from memory."""
    rows = {end.id: row for row, end in enumerate(knowledge.catalogue.ends)}
    assert knowledge.aftercare.tube(rows["flare37/6/female"]) == "three-eighths"
    assert knowledge.aftercare.tube(rows["din24-s/16/male"]).endswith("millimeters, from memory")


def test_of_two_genders_the_slip_prints_the_likelier(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for text in ("outside nine sixteenths, eighteen pitch", "it is a port", "it is a stud", "o ring at the base"):
        talk.say(text)
    (end,) = talk.session.job_facts().ends
    assert [each for each in end.readings if each.startswith("gender")] == ["gender stud"]


def test_what_follows_on_a_condition_is_one_sentence(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths, eighteen pitch, thirty seven degrees")
    assert "If so: it mates with" in talk.say("what fits") or "If so, it mates with" in talk.say("what fits")
    assert "If so, from memory: three hundred forty-four bar" in talk.say("what does it hold")


def test_a_washer_that_was_named_leaves_out_what_a_captured_ring_takes(knowledge: Knowledge) -> None:
    """M14: 35 N·m on a sealing washer, 45 on a captured ring (engine operation manual 33521029401)."""
    for said, torque, other in (
        ("a bonded washer", "thirty-five newton meters", "forty-five"),
        ("a copper washer", "thirty-five newton meters", "forty-five"),
        ("a captured ring", "forty-five newton meters", "thirty-five"),
    ):
        talk = Talk(knowledge)
        talk.say("stud, outside thirteen point nine millimeters, one point five pitch, flat shoulder")
        talk.say(f"it is {said}")
        talk.say("hydraulic oil in it")
        reply = talk.say("what is the torque") + talk.say("more")
        assert torque in reply.lower() and other not in reply.lower(), (said, reply)
        washers = talk.say("what seals it")
        assert ("captured ring" in washers) == ("captured" in said) and ("bonded" in washers) != ("captured" in said)
        (end,) = talk.session.job_facts().ends
        facts = JobFacts("1", ends=(replace(end, end="metric-port/14/stud"),))
        slip = job_slip(knowledge.aftercare.ordering, facts)
        conditions = {figure.condition.partition(",")[0] for figure in slip.ends[0].torque}
        assert conditions == {"captured ring" if "captured" in said else "sealing washer"}
