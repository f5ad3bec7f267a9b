"""A machine's name, spelled: what is read back is heard as the same name, and the recogniser may write it.

The letters' words are those of the radiotelephony alphabet (ICAO Annex 10 volume II, 5.2.1.3; ITU Radio Regulations
appendix 14), recalled from memory.
"""

from __future__ import annotations

import string

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.interpretation.writing import accepts, matcher
from voicefit.interpretation import Language
from voicefit.records import Command, Context

ICAO = (
    "alfa bravo charlie delta echo foxtrot golf hotel india juliett kilo lima mike november oscar papa quebec romeo "
    "sierra tango uniform victor whiskey xray yankee zulu"
)
SPELLING = Context(spelling=True)
names = st.text(string.ascii_uppercase + string.digits + "-/", min_size=1, max_size=12)


def heard(language: Language, text: str, context: Context) -> tuple[str, str | None]:
    (item,) = language.interpret(text, context)[0].items
    assert isinstance(item, Command)
    return item.name, item.argument


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=names)
def test_what_is_read_back_is_heard_as_the_same_name(language: Language, name: str) -> None:
    said = language.say_name(name)
    if name[0].isalnum():
        assert heard(language, f"machine {said}", Context()) == ("name-machine", name)
    assert heard(language, said, SPELLING) == ("spell", name)


def test_each_letter_by_its_word(language: Language) -> None:
    for letter, word in zip(string.ascii_uppercase, ICAO.split(), strict=True):
        assert heard(language, word, SPELLING) == ("spell", letter)


def test_figures_alone_are_readings_unless_a_name_is_spelled(language: Language) -> None:
    assert heard(language, "twelve", SPELLING) == ("spell", "12")
    assert not isinstance(language.interpret("twelve", Context())[0].items[0], Command)
    assert heard(language, "twenty one", SPELLING) == ("spell", "21")


def test_letters_by_their_own_names_are_typed_and_not_offered_to_an_engine(language: Language) -> None:
    assert heard(language, "machine A B 12", Context()) == ("name-machine", "AB12")
    for context in (Context(), SPELLING):
        whole = matcher(language.constraint(context))
        assert accepts(whole, "machine alpha bravo one two")
        assert not accepts(whole, "machine a b one two")


def test_while_a_name_is_spelled_an_engine_may_write_its_parts_and_the_commands(language: Language) -> None:
    whole = matcher(language.constraint(SPELLING))
    for text in ("alpha bravo", "one two", "loader", "done", "cancel", "undo", "help", "stop"):
        assert accepts(whole, text), text
    assert not accepts(whole, "nineteen pitch")
