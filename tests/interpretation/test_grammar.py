"""Faults of the grammar are named with file and place; the notation reads as it says; examples mean what they say."""

from __future__ import annotations

import doctest

import pytest

import voicefit.interpretation.spelling as spelling
from tests.interpretation import notes
from voicefit.errors import BadGrammar
from voicefit.interpretation import Language
from voicefit.interpretation.notation import BadNotation, Join, Slot, Word, parse_form, read_phrase, words
from voicefit.records import Context, Measurand, Reading


def flat(text: str) -> list[str]:
    """The sequences of a phrase, slots in braces, joins as they are written."""
    signs = {Join.SPACE: " ", Join.EITHER: "~", Join.NOTHING: ""}
    out = []
    for sequence in read_phrase(text):
        said = ""
        for at, (join, symbol) in enumerate(sequence):
            name = (
                symbol.text
                if isinstance(symbol, Word)
                else f"{{{symbol.name}}}"
                if symbol.keeps
                else f"<{symbol.name}>"
            )
            said += (signs[join] if at else "") + name
        out.append(said)
    return out


@pytest.mark.parametrize(
    ("text", "sequences"),
    [
        ("the outside [is] {diameter}", ["the outside {diameter}", "the outside is {diameter}"]),
        ("(male|external) thread", ["male thread", "external thread"]),
        ("<outside> {diameter}", ["<outside> {diameter}"]),
        ("JIC", ["jic", "j i c"]),
        ("M~{size}", ["m~{size}"]),
        ("{int}.{int}", ["{int}.{int}"]),
        ("[a] half", ["half", "a half"]),
        ("a [b [c]] d", ["a d", "a b d", "a b c d"]),
        ("don't (see|reach) it", ["don't see it", "don't reach it"]),
    ],
)
def test_notation(text: str, sequences: list[str]) -> None:
    assert flat(text) == sequences


def test_operator_and_weight() -> None:
    form = parse_form("{whole} and {fraction} -> mixed @ -1.5")
    assert (form.operator, form.log_weight) == ("mixed", -1.5)
    assert [symbol for _, symbol in form.phrase[0]] == [Slot("whole"), Word("and"), Slot("fraction")]
    assert list(words(read_phrase("NPT thread"), spoken=True)) == ["thread", "n", "p", "t", "thread"]


@pytest.mark.parametrize(
    "text", ["", "(a", "a]", "a | ", "[a]", "{", "{Size}", "a (b|c", "caliper[s]", "[a] [b]", "(a|) b", "a @ x {", "<>"]
)
def test_bad_notation_is_refused(text: str) -> None:
    with pytest.raises(BadNotation):
        read_phrase(text)


def test_a_phrase_that_stands_for_too_much_is_refused() -> None:
    with pytest.raises(BadNotation, match="more than"):
        read_phrase("(a|b|c) " * 9)


@pytest.mark.parametrize(
    ("file", "old", "new", "where", "reason"),
    [
        ("numbers.toml", "one = 1", "one = [", "file", ""),
        ("numbers.toml", "one = 1", 'one = "first"', "words.nonzero.one", "integer"),
        ("numbers.toml", "-> decimal", "-> decimals", "forms.decimal", "operator"),
        ("numbers.toml", "{below-100} thousand", "{below-1000} thousand", "thousand", "below-1000"),
        ("quantities.toml", 'numbers = ["signed"]', 'numbers = ["sign"]', "kind.temperature.numbers", "sign"),
        ("quantities.toml", "units.celsius", "units.kelvin", "kind.temperature.units", "kelvin"),
        ("quantities.toml", 'hex = {kind = "diameter"', 'hex = {kind = "width"', "measurand.hex", "width"),
        ("quantities.toml", 'hex = {kind', 'colour = {kind', "measurand.colour", ""),
        ("words.toml", "[weighty]", "[weighty]\nstrength = 1", "weighty.strength", ""),
        ("readings.toml", 'seat_form = "convex"', 'seat_form = "bulging"', "say", "seat_form"),
        ("readings.toml", '{hex = "{diameter}"}', '{hex = "{width}"}', "say", "width"),
        ("readings.toml", "{spacing 2}", "{spacing 3}", "say", "spacing 3"),
        ("readings.toml", "<outside> [<is>]", "<outsides> [<is>]", "said", "outsides"),
        ("readings.toml", '"recess",', '"(recess",', "say", "not closed"),
        ("frames.toml", '"not {quality}",', '"not {qualitty}",', "said", "qualitty"),
        ("frames.toml", "<find>", "<finds>", "said", "finds"),
        ("commands.toml", 'phrases = ["help"', 'phrases = ["help {topic}"', "'help'", "topic"),
        ("commands.toml", 'id = "help"', 'id = "stop"', "'stop'", "two"),
        ("commands.toml", 'phrases = ["next"]', "phrases = []", "phrases", ""),
    ],
)  # fmt: skip
def test_a_fault_is_named_with_file_and_place(
    texts: dict[str, str], file: str, old: str, new: str, where: str, reason: str
) -> None:
    assert old in texts[file]
    with pytest.raises(BadGrammar) as caught:
        Language.from_texts(texts | {file: texts[file].replace(old, new, 1)})
    if where == "thousand":  # found when all files are read: the file that names what is missing
        assert caught.value.file == "numbers.toml"
    assert where in caught.value.where or where in str(caught.value)
    assert file.startswith(caught.value.file.partition(".")[0]) or caught.value.file == "readings"
    assert reason in caught.value.reason


@pytest.mark.parametrize("file", ["numbers.toml", "quantities.toml", "words.toml", "frames.toml", "commands.toml"])
def test_a_file_that_is_missing_is_named(texts: dict[str, str], file: str) -> None:
    with pytest.raises(BadGrammar, match=f"{file}, file: the file is missing"):
        Language.from_texts({name: text for name, text in texts.items() if name != file})


def test_a_rule_that_begins_with_itself_is_refused(texts: dict[str, str]) -> None:
    circular = texts["numbers.toml"].replace('digit = ["{nonzero}"', 'digit = ["{digit} {nonzero}"', 1)
    with pytest.raises(BadGrammar, match="begins with itself"):
        Language.from_texts(texts | {"numbers.toml": circular})


def test_bad_names_of_series_are_named(texts: dict[str, str]) -> None:
    with pytest.raises(BadGrammar, match="series names, flare37"):
        Language.from_texts(texts, {"flare37": ["JIC ("]})


def test_without_names_of_series_and_hoses_the_rest_works(texts: dict[str, str]) -> None:
    language = Language.from_texts(texts)
    assert notes.meaning(language.interpret("nineteen pitch", Context())[0]) == "pitch 19 tpi"
    assert notes.meaning(language.interpret("why not JIC", Context())[0]).startswith("?")


@pytest.mark.parametrize("measurand", list(Measurand))
def test_each_measurand_has_examples_that_mean_it(language: Language, measurand: Measurand) -> None:
    examples = language.examples(measurand)
    assert examples
    for text in examples:
        assert not set(text) & set("{}<>[]|~0123456789")
        item = language.interpret(text, Context())[0].items[0]
        readings = [item] if isinstance(item, Reading) else getattr(item, "readings", [])
        assert readings and measurand in readings[0].measurands, text


def test_the_examples_of_each_kind_are_of_that_kind(language: Language) -> None:
    for measurand, entry in language.grammar.measurands.items():
        if entry.bare is None:
            continue  # never said without its name
        example = language.grammar.kinds[entry.kind].example
        reading = language.interpret(example, Context(expected=(measurand,)))[0].items[0]
        assert isinstance(reading, Reading)
        assert reading.options[0].measurand is measurand


def test_examples_in_docstrings() -> None:
    result = doctest.testmod(spelling)
    assert result.attempted > 5 and not result.failed
