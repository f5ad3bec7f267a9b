"""What a piece came off is no reason to lose what it is; where the machine was built is kept."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Context


def meaning(language: Language, text: str) -> str:
    return notes.meaning(language.interpret(text, Context())[0])


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("tapered one off the milking parlour", "taper tapered"),
        ("stud from the swash plate carrier, heavy lump", "gender stud"),
        ("quick coupler on the back of the telehandler, the male half", "shape coupler; gender male"),
        ("stud behind the injector rail", "gender stud"),
        ("off the wood chipper, a male", "gender male"),
    ],
)
def test_what_it_came_off_is_passed_over(language: Language, text: str, meant: str) -> None:
    assert meaning(language, text) == meant


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("male from a Japanese rice transplanter", "gender male; country japan"),
        ("female from a French beet harvester", "gender female; country france"),
        ("swivel off an Italian almond shaker, big one", "gender female; country italy"),
        ("stud, Swedish peat cutter", "gender stud; country sweden"),
        ("tapped hole in a German gear case", "gender port; country germany"),
    ],
)
def test_where_its_machine_was_built_is_kept_and_not_asked_about(language: Language, text: str, meant: str) -> None:
    found = language.interpret(text, Context())[0]
    assert notes.meaning(found) == meant
    assert not any(getattr(item, "guessed", False) for item in found.items)


@pytest.mark.parametrize(
    ("text", "never"),
    [
        ("number four on the rail", "dash"),
        ("half inch on the drawing", "diameter"),
        ("a drop of oil on my sleeve", "leak"),
        ("the cone is on the other one", "seat_form"),
        ("French taper", "country"),
    ],
)
def test_what_is_of_that_place_or_of_another_is_not_read_as_of_the_end(
    language: Language, text: str, never: str
) -> None:
    assert never not in meaning(language, text)


@pytest.mark.parametrize("text", ["a ring at the bottom of the thread", "rubber in the groove of the cone"])
def test_a_part_of_the_end_is_no_machine(language: Language, text: str) -> None:
    assert meaning(language, text) != "seal o_ring"
