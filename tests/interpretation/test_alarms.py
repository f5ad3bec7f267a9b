"""The notation of alarms: words that stand together, in whatever order."""

from __future__ import annotations

from voicefit.interpretation.wordgroups import read_line


def test_a_line_finds_its_words_in_any_order_each_for_one_group() -> None:
    line = read_line("oil|fluid eye|eyes|lid* !not")
    assert line.is_in(["oil", "in", "the", "eye"]) and line.is_in(["lids", "full", "of", "oil"])
    assert not line.is_in(["oil", "oil"]) and not line.is_in(["oil", "not", "in", "the", "eye"])


def test_a_word_with_a_dollar_is_the_last() -> None:
    line = read_line("engine on$")
    assert line.is_in(["engine", "is", "on"]) and not line.is_in(["on", "the", "engine", "bay"])
