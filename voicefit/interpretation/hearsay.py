"""What somebody else would have set right: "he reckons it should be eighteen, not nineteen".

Who tells what another person says tells it perhaps so. But one value in the place of another, by another's word, would
take the place of what was measured: it is passed over.

Duty: what is left of such a text. It must not know what is on record.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.repairs import ASIDE
from voicefit.interpretation.tokens import Token
from voicefit.records import Command, Meaning, Reading

_CORRECT = "correct"
_SELF = frozenset({"i", "we"})


def passed_over(meaning: Meaning, tokens: Sequence[Token], chart: Chart) -> Meaning:
    """The meaning, or an aside where another person's word corrects or denies, and nothing is said of one's own."""
    if not tokens or not chart.match("list-others-say", 0) or not _SELF.isdisjoint(token.text for token in tokens):
        return meaning
    corrects = any(isinstance(item, Command) and item.name == _CORRECT for item in meaning.items)
    denies = any(isinstance(item, Reading) and item.options[0].negated for item in meaning.items)
    return replace(meaning, items=(Command(ASIDE, meaning.text),)) if corrects or denies else meaning
