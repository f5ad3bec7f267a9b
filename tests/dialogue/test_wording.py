"""Replies can be spoken, prompts are short, numbers are said the trade's way and heard again as the same number."""

from __future__ import annotations

import ast
import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import voicefit.dialogue
from tests.dialogue.talk import knowledge_of_the_project
from voicefit.dialogue import Knowledge, spoken
from voicefit.dialogue.hoses import ASKED
from voicefit.dialogue.wording import FILE, parse, slots_in
from voicefit.errors import BadGrammar
from voicefit.interpretation.spelling import say_quantity
from voicefit.quantities import Quantity, Unit, inches, millimetres
from voicefit.records import Gender, Measurand, Option, Reading, Seal, SeatForm

SOURCES = sorted(Path(voicefit.dialogue.__file__).parent.rglob("*.py"))
SENTENCE_WORDS = 14
ENDS_IN_AN_INSTRUCTION = frozenset({"which-again"})
_LENGTHS = (Unit.INCH, Unit.MILLIMETRE)
UNITS: dict[Measurand, tuple[Unit, ...]] = {
    **dict.fromkeys(
        (
            Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER, Measurand.FIRST_THREAD_DIAMETER,
            Measurand.LAST_THREAD_DIAMETER, Measurand.HEX, Measurand.TUBE_OUTSIDE_DIAMETER,
            Measurand.FLANGE_HEAD_DIAMETER, Measurand.FLANGE_HEAD_THICKNESS, Measurand.BOLT_LONG, Measurand.BOLT_SHORT,
            Measurand.MOUTH_DIAMETER, Measurand.PROFILE_DIAMETER, Measurand.HOSE_BORE, Measurand.HOSE_OUTSIDE_DIAMETER,
        ),
        _LENGTHS,
    ),
    Measurand.LENGTH: (*_LENGTHS, Unit.FOOT, Unit.METRE),
    Measurand.PITCH: (Unit.THREADS_PER_INCH, Unit.MILLIMETRE),
    Measurand.SEAT_ANGLE: (Unit.DEGREE,),
    Measurand.FLANK_ANGLE: (Unit.DEGREE,),
    Measurand.ELBOW_ANGLE: (Unit.DEGREE,),
    Measurand.ROUTE_BEND: (Unit.DEGREE,),
    Measurand.ROUTE_RADIUS: _LENGTHS,
    Measurand.DASH: (Unit.COUNT,),
    Measurand.PRESSURE: (Unit.BAR, Unit.PSI, Unit.MEGAPASCAL),
    Measurand.TEMPERATURE: (Unit.CELSIUS, Unit.FAHRENHEIT),
}  # fmt: skip
UNIT_WORDS = {
    Unit.INCH: ("inch",), Unit.MILLIMETRE: ("millimeter",), Unit.FOOT: ("foot", "feet"), Unit.METRE: ("meter",),
    Unit.THREADS_PER_INCH: ("per inch",), Unit.DEGREE: ("degree",), Unit.COUNT: ("dash",), Unit.BAR: ("bar",),
    Unit.PSI: ("P S I",), Unit.MEGAPASCAL: ("megapascal",), Unit.CELSIUS: ("celsius",),
    Unit.FAHRENHEIT: ("fahrenheit",),
}  # fmt: skip
SPEAKABLE = re.compile(r"[A-Za-z ,.:;?'-]+")


def _replies_named_in_the_code() -> set[str]:
    """String constants of the code, formatted ones with what stands for their slots as a pattern."""
    found = set()
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(re.escape(node.value))
            elif isinstance(node, ast.JoinedStr):
                found.add("".join(re.escape(v.value) if isinstance(v, ast.Constant) else ".+" for v in node.values))
    return found


def test_every_reply_is_used_by_the_code(knowledge: Knowledge) -> None:
    patterns = [re.compile(text) for text in _replies_named_in_the_code() if text not in (".+", "")]
    commands = {function.id for function in knowledge.registry.functions}
    unused = [
        name
        for name in knowledge.wording.replies
        if name not in commands and not any(pattern.fullmatch(name) for pattern in patterns)
    ]
    assert not unused


def test_every_measurand_and_category_has_words(knowledge: Knowledge) -> None:
    wording = knowledge.wording
    assert {measurand.value for measurand in Measurand} <= set(wording.readings)
    categories = {
        Measurand.SEAT_FORM: SeatForm,
        Measurand.SEAL: Seal,
        Measurand.GENDER: Gender,
        Measurand.THREAD_SIDE: ("external", "internal"),
        Measurand.TAPER: ("tapered", "parallel"),
    }
    for measurand, values in categories.items():
        assert all(f"{measurand.value}.{value}" in wording.values for value in values)


def test_every_question_about_a_hose_has_words(knowledge: Knowledge) -> None:
    halves = {"delivery-where", "delivery-when"}
    assert set(knowledge.wording.questions) == {topic.value for topic in ASKED} | halves


def test_prompts_are_short_and_end_in_what_is_asked(knowledge: Knowledge) -> None:
    prompts = [check.prompt for check in knowledge.checks.values()]
    for question in knowledge.wording.questions.values():
        prompts.append(question.prompt)
        assert all(len(step.split()) <= 20 for step in question.how)
    for prompt in prompts:
        assert len(prompt.split()) <= 12, prompt


def test_every_sentence_is_short_and_every_list_can_be_broken_off(knowledge: Knowledge) -> None:
    """A slot counts as one word; what fills it is a value, a name, or a list that is read three items at a time."""
    wording = knowledge.wording
    texts = [(name, text) for name, both in wording.replies.items() for text in both]
    texts += [*wording.cautions.items(), *wording.uses.items(), *wording.words.items()]
    for name, text in texts:
        for sentence in re.split(r"(?<=[.?!]) ", text):
            assert len(sentence.split()) <= SENTENCE_WORDS, (name, sentence)
    for function in knowledge.registry.functions:
        assert all(len(sentence.split()) <= SENTENCE_WORDS for sentence in re.split(r"(?<=[.:]) ", function.help))


def test_a_question_is_the_last_thing_said(knowledge: Knowledge) -> None:
    for name, both in knowledge.wording.replies.items():
        for text in both:
            assert "?" not in text or text.endswith("?") or name in ENDS_IN_AN_INSTRUCTION, (name, text)
    for name, question in knowledge.wording.questions.items():
        assert question.prompt.endswith("?"), name


@pytest.mark.parametrize("measurand", [m for m in Measurand if m in UNITS])
def test_a_value_is_never_said_without_its_unit(knowledge: Knowledge, measurand: Measurand) -> None:
    for unit in UNITS[measurand]:
        for value in (Fraction(1), Fraction(3, 8), Fraction(15), Fraction("15.1")):
            said = knowledge.wording.reading(Option(measurand, Quantity(value, unit)), careful=True)
            fraction = unit is Unit.INCH and value.denominator in (8,)  # nobody says of an inch
            words = UNIT_WORDS[unit]
            if unit is Unit.THREADS_PER_INCH or (measurand is Measurand.PITCH and value.denominator > 1):
                words = ("pitch",)  # threads to the inch are counted: a broken number is of millimeters
            assert fraction or any(word in said for word in words), said


def test_every_end_and_thread_can_be_named_aloud(knowledge: Knowledge) -> None:
    for row in range(len(knowledge.catalogue.ends)):
        assert SPEAKABLE.fullmatch(knowledge.end_words(row)), knowledge.end_words(row)
        assert SPEAKABLE.fullmatch(knowledge.thread_words(row) or "none")


@pytest.mark.parametrize(
    ("option", "words"),
    [
        (Option(Measurand.OUTSIDE_DIAMETER, inches("19/32")), "nineteen thirty-seconds outside"),
        (Option(Measurand.OUTSIDE_DIAMETER, inches("1 5/16")), "one and five-sixteenths inches outside"),
        (Option(Measurand.INSIDE_DIAMETER, millimetres("15")), "one five millimeters inside"),
        (Option(Measurand.PITCH, Quantity(Fraction(23, 2), Unit.THREADS_PER_INCH)),
         "eleven and a half pitch"),
        (Option(Measurand.PITCH, millimetres("1.5")), "one point five pitch"),
        (Option(Measurand.SEAT_ANGLE, Quantity(Fraction(30), Unit.DEGREE)), "thirty degrees"),
        (Option(Measurand.DASH, Quantity(Fraction(6), Unit.COUNT)), "dash six"),
        (Option(Measurand.SEAT_FORM, "convex"), "the seat stands out"),
        (Option(Measurand.SEAT_FORM, "convex", negated=True), "the seat does not stand out"),
        (
            Option(Measurand.PITCH, Quantity(Fraction(19), Unit.THREADS_PER_INCH), negated=True),
            "not nineteen pitch",
        ),
        (Option(Measurand.SERIES, "orfs"), "O-ring face seal fitting"),
    ],
)  # fmt: skip
def test_readings_are_said_with_unit_and_side(knowledge: Knowledge, option: Option, words: str) -> None:
    assert knowledge.wording.reading(option, careful=True) == words


def test_a_choice_is_spelled_digit_by_digit(knowledge: Knowledge) -> None:
    option = Option(Measurand.LENGTH, millimetres("15"))
    assert knowledge.wording.spelled_out(option) == "fifteen millimeters: one five"


sixty_fourths = st.integers(12, 255).map(lambda n: Fraction(n, 64))
hundredths = st.integers(500, 9999).map(lambda n: Fraction(n, 100))
thousandths = st.integers(190, 3999).map(lambda n: Fraction(n, 1000))


def _heard(text: str, measurand: Measurand) -> set[tuple[Fraction, Unit]]:
    """Values of the best meaning that is one reading of the measurand."""
    for meaning in knowledge_of_the_project().language.interpret(text):
        if len(meaning.items) == 1 and isinstance(meaning.items[0], Reading):
            return {
                (o.value.value, o.value.unit)
                for o in meaning.items[0].options
                if o.measurand is measurand and isinstance(o.value, Quantity)
            }
    return set()


@settings(max_examples=60, deadline=None)
@given(
    st.one_of(
        sixty_fourths.map(lambda v: Quantity(v, Unit.INCH, Fraction(1, 64))),
        thousandths.map(lambda v: Quantity(v, Unit.INCH, Fraction(1, 1000))),
        hundredths.map(lambda v: Quantity(v, Unit.MILLIMETRE, Fraction(1, 100))),
    )
)
def test_what_is_read_back_is_heard_as_the_same_value(value: Quantity) -> None:
    words = say_quantity(value)
    assert (value.value, value.unit) in _heard(f"outside {words}", Measurand.OUTSIDE_DIAMETER), words


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=40))
def test_any_text_is_made_speakable(text: str) -> None:
    assert re.fullmatch(r"[A-Za-z ,.:;'-]*", spoken.aloud(text))


GOOD = '[replies]\na = "A {b}."\n[cautions]\n[uses]\n[words]\n[readings]\n[values]\n[questions]\n'


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (GOOD.replace("A {b}.", "A 1."), "cannot be spoken"),
        (GOOD.replace("[uses]\n", ""), "uses"),
        (GOOD + '[questions.size]\nprompt = "What?"\n', "how"),
        ("[replies", "TOML"),
    ],
)
def test_a_wrong_file_is_named(text: str, says: str) -> None:
    with pytest.raises(BadGrammar, match=says):
        parse({FILE: text})


def test_a_reply_without_its_slot_is_an_error() -> None:
    wording = parse({FILE: GOOD})
    assert slots_in("A {b}.") == {"b"}
    assert wording.reply("a", {"b": "c"}) == "A c."
    with pytest.raises(KeyError):
        wording.reply("a", {})
