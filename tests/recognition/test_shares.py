from __future__ import annotations

import math

import pytest

from voicefit.interpretation import Language
from voicefit.recognition.acceptance import read_acceptance
from voicefit.recognition.shares import MOST_ALTERNATIVES, log_odds, weigh
from voicefit.records import Alternative, Context, Measurand, item_key


def alternatives(**probabilities: float) -> list[Alternative]:
    return [Alternative(text.replace("_", " "), math.log(share)) for text, share in probabilities.items()]


def test_texts_with_one_meaning_are_one_and_their_probabilities_add_up(language: Language) -> None:
    texts = [("thirty seven degrees", 0.3), ("37 degrees", 0.3), ("thirty degrees", 0.4)]
    shares = weigh([Alternative(text, math.log(share)) for text, share in texts], language, Context()).shares
    assert [share.text for share in shares][1:] == ["thirty degrees"]
    assert math.exp(shares[0].log_probability) == pytest.approx(0.6, abs=0.02)
    assert sum(math.exp(share.log_probability) for share in shares) == pytest.approx(1.0)


def test_two_meanings_of_one_text_are_no_doubt_in_hearing(language: Language) -> None:
    text = "outside 516"  # five sixteenths, or thousandths
    assert len(language.interpret(text, Context())) > 1
    shares = weigh([Alternative(text, 0.0)], language, Context()).shares
    assert [share.text for share in shares] == [text]
    assert log_odds(shares) == math.inf


def test_the_question_asked_weighs_in(language: Language) -> None:
    texts = alternatives(nineteen_pitch=0.45, ninety_degrees=0.55)
    assert weigh(texts, language, Context()).shares[0].text == "ninety degrees"
    asked = weigh(texts, language, Context(expected=(Measurand.PITCH,)))
    assert asked.shares[0].text == "nineteen pitch"
    assert asked.log_odds_alone == pytest.approx(math.log(0.45 / 0.55), abs=0.05)


def test_a_value_that_no_thread_has_is_known_to_be_unlikely(language: Language) -> None:
    sixteen, sixty = (
        weigh([Alternative(f"{n} threads per inch", 0.0)], language, Context()) for n in ("sixteen", "sixty")
    )
    least = read_acceptance().least_prior
    assert sixteen.log_prior == 0.0 and sixty.log_prior < least
    hose = weigh([Alternative("half inch hose", 0.0)], language, Context())
    assert hose.log_prior > least


def test_only_the_likeliest_are_handed_on(language: Language) -> None:
    many = [Alternative(f"{leaf} pitch", -number / 2) for number, leaf in enumerate(range(8, 28))]
    kept = weigh(many, language, Context()).likeliest
    assert len(kept) == MOST_ALTERNATIVES and kept[0].text == "8 pitch"
    assert math.fsum(math.exp(each.log_probability) for each in kept) == pytest.approx(1.0)


def test_the_meanings_of_all_texts_are_handed_on_each_once(language: Language) -> None:
    texts = [("outside 516", 0.7), ("outside five sixteenths", 0.2), ("thirty degrees", 0.1)]
    weighed = weigh([Alternative(text, math.log(share)) for text, share in texts], language, Context())
    meanings = weighed.likeliest_meanings()
    keys = [tuple(map(item_key, meaning.items)) for meaning in meanings]
    assert len(set(keys)) == len(keys)
    assert math.fsum(math.exp(meaning.log_weight) for meaning in meanings) == pytest.approx(1.0)
    for share in weighed.likeliest:
        first, *others = language.interpret(share.text)
        shared = [m for m in (first, *others) if tuple(map(item_key, m.items)) in keys]
        assert shared == [first, *others]
    of_516 = language.interpret("outside 516")
    assert len(of_516) > 1 and keys[0] == tuple(map(item_key, of_516[0].items))


def test_one_meaning_has_the_weight_of_all_texts_that_say_it(language: Language) -> None:
    heard = [("thirty-seven degrees", 0.3), ("thirty seven degrees", 0.2), ("37 degrees", 0.1), ("45 degrees", 0.4)]
    weighed = weigh([Alternative(text, math.log(share)) for text, share in heard], language, Context())
    first, second = weighed.likeliest_meanings()
    assert first.text == "thirty-seven degrees"
    assert math.exp(first.log_weight) == pytest.approx(0.6, abs=0.02)
    assert math.exp(second.log_weight) == pytest.approx(0.4, abs=0.02)
