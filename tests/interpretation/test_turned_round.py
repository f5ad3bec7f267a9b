"""What is said is not taken as its opposite, or of another thing: two nots, what only seemed so, and questions."""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Context, Measurand, Option, Reading, Rejection, Seal

SAID = {
    "sixteen isn't wrong": ("16", False),
    "sixteen is wrong": ("16", True),
    "the eighteen only bites on a couple of threads": ("18", True),
    "it isn't twelve, the leaf wobbles": ("12", True),
    "recessed, and the fourteen leaf shows daylight": ("14", True),
}
NAMED = {
    "the nose isn't what you would call convex": {"!convex"},
    "I'd be amazed if it was tapered": {"!tapered"},
    "looks tapered but it's parallel": {"parallel"},
    "it's tapered": {"tapered"},
}
OF_NOTHING = (
    "is this supposed to be recessed",
    "number nine loader",
    "there's a crumb of rust, it's only a lump of dirt",
    "male on the one end and female on the other",
)
HIT = Option(Measurand.SEAL, Seal.CUTTING_RING)


def _options(language: Language, text: str, context: Context | None = None) -> list[Option]:
    items = language.interpret(text, context or Context())[0].items
    return [option for item in items if isinstance(item, Reading) for option in item.options]


@pytest.mark.parametrize("text", SAID)
def test_a_leaf_that_is_wrong_or_is_not_wrong(language: Language, text: str) -> None:
    pitches = [option for option in _options(language, text) if option.measurand is Measurand.PITCH]
    leaves = [(o.value, o.negated) for o in pitches if isinstance(o.value, Quantity)]
    assert [(str(v.value), no) for v, no in leaves if v.unit is Unit.THREADS_PER_INCH] == [SAID[text]]


LYING = (
    ("the {} lifts at one end", False),
    ("the {} is nowhere near", False),
    ("daylight right under the {}", False),
    ("the {} tips about", False),
    ("not a chink of light behind the {}", True),
    ("the {} beds down lovely", True),
    ("the {} never rocks", True),
)


@pytest.mark.parametrize("beside", ["", "female, ", "parallel and ", "flat face, "])
@pytest.mark.parametrize(("lies", "sits"), LYING)
def test_a_gauge_is_not_taken_as_lying_the_other_way(language: Language, lies: str, sits: bool, beside: str) -> None:
    options = [o for o in _options(language, beside + lies.format("eighteen")) if o.measurand is Measurand.PITCH]
    assert all(option.negated != sits for option in options)


def test_how_a_gauge_lies_is_mostly_understood(language: Language) -> None:
    """Of none of these would the test above tell whether any is understood at all."""
    lying = [_options(language, lies.format("eighteen")) for lies, _ in LYING]
    assert sum(any(o.measurand is Measurand.PITCH for o in options) for options in lying) > len(LYING) / 2


@pytest.mark.parametrize("text", NAMED)
def test_what_it_is_not_and_what_it_only_seemed(language: Language, text: str) -> None:
    assert {("!" if option.negated else "") + str(option.value) for option in _options(language, text)} == NAMED[text]


@pytest.mark.parametrize("text", OF_NOTHING)
def test_what_states_nothing(language: Language, text: str) -> None:
    assert not _options(language, text)


@pytest.mark.parametrize(("text", "found"), [("yes, under the nut", {"!yes"}), ("a washer under the nut", {"seal"})])
def test_a_place_behind_a_yes_is_of_what_was_asked(language: Language, text: str, found: set[str]) -> None:
    context = Context(expected=(Measurand.SEAL,), yes_no=True, asked=HIT)
    items = language.interpret(text, context)[0].items
    said = {f"!{item.name}" for item in items if isinstance(item, Command)}
    assert said | {str(option.measurand) for option in _options(language, text, context)} == found


@pytest.mark.parametrize(("asked", "seal"), [(Measurand.SEAL, Seal.FACE_O_RING), (Measurand.GENDER, "o_ring")])
def test_a_ring_and_a_flat_face_are_one_seal_where_asked(language: Language, asked: Measurand, seal: str) -> None:
    options = _options(language, "rubber ring, flat face", Context(expected=(asked,)))
    assert seal in {option.value for option in options}


@pytest.mark.parametrize("text", ["make a note, the bracket's loose and it's male", "take a note"])
def test_behind_a_note_all_is_the_note(language: Language, text: str) -> None:
    (item,) = language.interpret(text, Context())[0].items
    assert isinstance(item, Command) and item.name == "note"


def test_beside_an_alarm_nothing_is_complained_of(language: Language) -> None:
    items = language.interpret("a joint is weeping on the zonkey frumble", Context())[0].items
    assert not any(isinstance(item, Rejection) for item in items)
