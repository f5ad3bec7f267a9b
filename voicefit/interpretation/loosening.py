"""What was not understood, read once more without the words that carry nothing.

How it works. "The o-ring's sitting nicely in the face" is a known phrase with two words too many. Where words were left
over, those of the list ``hollow`` (``words.toml``) are taken out wherever they stand, also inside a phrase; and after a
"yes" or "no" that answers, what is told besides begins anew ("no it's quite smooth"). What is then understood without
a rest is taken; else all stays as it was.

What is still not understood is read without articles, which many leave out: "here is no ring in cone".

Likewise what says that one is not sure ("don't quote me", "from memory"; the list ``doubtful``): it is taken out, and
all that is said besides is only perhaps so.

Duty: the words that remain. It must not take out a word that can turn a meaning round, loosen a number or move it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import replace
from itertools import pairwise

from voicefit.interpretation.asking import PERSONS, asks
from voicefit.interpretation.chart import ARTICLES, Chart, inside_numbers
from voicefit.interpretation.tokens import Token, word_set
from voicefit.records import Item, Meaning, Reading, Reason, Rejection

_ANSWERS = frozenset({"yes", "yeah", "yep", "yup", "aye", "no", "nope", "nah"})
_ONE = "one"
_THE, _NO = "the", "no"  # "no, the ring is there" denies no ring
_BESIDE = word_set("under behind below beneath underneath beside inside round around")  # with a number, it is its place
_DENIES = frozenset({"not", "no", "never"})
_SUBJECTS = frozenset({"it", "there", "that", "this", "they", "the"})
_PLACES = frozenset({"in", "on", "behind", "under", "at", "round", "around", "of", "to", "into"})
_AFTER_PLACES = frozenset({*ARTICLES, "it", "this", "that", "them", "there", "its", "my", "here", "an"})
_OCCASIONS = frozenset({"when", "while", "until", "before", "after", "as"})
_FINDS = frozenset({"see", "find", "feel", "reach", "spot"})
_IT, _AS_PERSONS = "it", frozenset({"she", "he"})
_AS, _WHOSE = "as", frozenset({"your", "my"})
_ENDS_A_SIMILE = word_set("and but with so inside outside in on at")
_LIKENED = word_set(
    "flat tight sweet sound solid hard soft smooth round clean dry dead black bright clear plain straight true neat "
    "snug sharp blunt rough tough stiff loose cold hot old big thick thin light heavy deep wide rusty good happy right "
    "easy simple tidy close stubborn level quick slow"
)
_ADVERB = re.compile(r"[a-z]{4,}ly")
_LOOSELY = ("list-or-so", "list-or-under", "list-or-over")
_LEFT_OVER = frozenset({Reason.OUT_OF_GRAMMAR, Reason.INCOMPLETE})


def leaves_words(meaning: Meaning) -> bool:
    """Whether something of the text was not understood."""
    return any(isinstance(item, Rejection) and item.reason in _LEFT_OVER for item in meaning.items)


def without_doubt(tokens: Sequence[Token], chart: Chart, known: Set[str]) -> tuple[Token, ...] | None:
    """The tokens without what says that one is not sure, or ``None`` where nothing says so, or nothing else is said.
    An adverb that is not ``known`` does not make it surer: "conceivably", "allegedly"."""
    said = len(tokens)
    tokens = [token for token in tokens if token.text in known or not _ADVERB.fullmatch(token.text)]
    kept = _without(tokens, chart, "list-doubtful", yes_no=False)
    return kept if kept and len(kept) < said else None


def without_perhaps(tokens: Sequence[Token], chart: Chart) -> tuple[Token, ...] | None:
    """The tokens without a "maybe" that stands between a name and its value: "outside, maybe twenty"."""
    kept = _without(tokens, chart, "list-unsure", yes_no=False)
    return kept if kept and len(kept) < len(tokens) else None


def hedged_last(tokens: tuple[Token, ...], chart: Chart) -> tuple[Token, ...]:
    """The tokens with how loosely a value is said put behind what it is of: "twenty or so outside"."""
    numbers = inside_numbers(tokens, chart)
    for at in range(1, len(tokens) - 1):
        ends = [end for rule in _LOOSELY for end, _, _ in chart.match(rule, at) if at not in numbers]
        end = max(ends, default=len(tokens))
        stop = next((place for place in range(at, len(tokens)) if tokens[place].paused), len(tokens))
        if end < stop:
            return (*tokens[:at], *tokens[end:stop], *tokens[at:end], *tokens[stop:])
    return tokens


def doubted(meaning: Meaning, certainty: float) -> Meaning:
    """The meaning with each reading perhaps so."""
    return replace(meaning, items=tuple(perhaps(item, certainty) for item in meaning.items))


def perhaps(item: Item, certainty: float) -> Item:
    """A reading as perhaps so; anything else as it is."""
    if not isinstance(item, Reading):
        return item
    return replace(item, options=tuple(option.doubted(certainty) for option in item.options))


def without_hollow(tokens: Sequence[Token], chart: Chart, *, yes_no: bool) -> tuple[Token, ...]:
    """The tokens without hollow words; ``yes_no`` : yes or no answers what was asked."""
    told = tokens if asks(tokens) else _without_occasions(tokens)
    return _without(told, chart, "list-hollow", yes_no=yes_no)


def _without_occasions(tokens: Sequence[Token]) -> Sequence[Token]:
    """The tokens without when somebody did something: "it hardly drips when I pull it apart"."""
    starts = [at for at, (one, two) in enumerate(pairwise(tokens)) if one.text in _OCCASIONS and two.text in PERSONS]
    kept = list(tokens)
    for start in reversed(starts):
        end = next((at for at in range(start + 1, len(kept)) if kept[at].paused), len(kept))
        if start > 0 or end < len(kept):
            kept[start:end] = []
    return kept


def without_articles(tokens: Sequence[Token], but_before: Set[str]) -> tuple[Token, ...]:
    """The tokens without "the" and "a", ``but_before`` some words: "half a inch"; "the mate" is not spoken to."""
    kept: list[Token] = []
    paused = False
    for token, after in zip(tokens, (*tokens[1:], None), strict=True):
        sought = kept and kept[-1].text in _FINDS  # who cannot see the seat does not say that there is none
        if token.text in ARTICLES and not sought and not (after and after.text in but_before):
            paused = paused or token.paused or (token.text == _THE and bool(kept) and kept[-1].text == _NO)
            continue
        kept.append(replace(token, paused=token.paused or paused))
        paused = False
    return tuple(kept)


def without_pronoun(tokens: tuple[Token, ...], numbers: Set[str]) -> tuple[Token, ...]:
    """The tokens without the "one" by which a thing is called right before a number: "the hole one, twenty-nine"."""

    def points(at: int) -> bool:
        article, thing, one, after = tokens[at - 2 : at + 2]
        named = one.text == _ONE and article.text in (*ARTICLES, "this", "that") and not (thing.paused or one.paused)
        counts = after.text in numbers or after.text[0].isdecimal()
        return named and after.paused and counts and thing.text not in numbers and thing.text[0].isalpha()

    ones = {at for at in range(2, len(tokens) - 1) if points(at)}
    return tuple(token for at, token in enumerate(tokens) if at not in ones)


def without_similes(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """The tokens without what a quality is said to be like: "flat as a coin", "sweet as a nut"; but "same as a nut"
    compares."""
    kept: list[Token] = []
    skips = False
    for at, token in enumerate(tokens):
        after = tokens[at + 1].text if at + 1 < len(tokens) else ""
        if token.paused or token.text in _ENDS_A_SIMILE:
            skips = False
        if token.text == _AS and after in (*ARTICLES, *_WHOSE) and kept and kept[-1].text in _LIKENED:
            skips = not token.paused
        if not skips:
            kept.append(token)
    return tuple(kept)


def other_ways(
    tokens: tuple[Token, ...], looser: tuple[Token, ...], chart: Chart
) -> tuple[tuple[Token, ...], tuple[Token, ...], tuple[Token, ...]]:
    """The tokens with a hedge behind its value; ``looser``, without hollow words; and that with "it" for "she" and
    "he", as many call what is in their hand: "inside she's seventeen"."""
    as_a_thing = (replace(token, text=_IT) if token.text in _AS_PERSONS else token for token in looser or tokens)
    return hedged_last(tokens, chart), looser, tuple(as_a_thing)


def lacks_an_article(tokens: Sequence[Token]) -> bool:
    """Whether a place is named as many do whose own language has no articles: "ring in cone"."""
    words = [token.text for token in tokens]
    return any(at in _PLACES and after not in _AFTER_PLACES for at, after in pairwise(words))


def _names_a_part(kept: Sequence[Token], rule: str) -> bool:
    """Whether a place behind a number says whose it is: "number four | on the drawing"."""
    return rule == "list-doubtful" and "number" in (token.text for token in kept[-3:])


def _without(tokens: Sequence[Token], chart: Chart, rule: str, *, yes_no: bool) -> tuple[Token, ...]:
    chart = chart.of(tokens)
    kept: list[Token] = []
    numbers = inside_numbers(tokens, chart)
    at, paused = 0, False
    while at < len(tokens):
        end = max((end for end, _, _ in chart.match(rule, at)), default=at)
        place = tokens[at].text in _BESIDE and end < len(tokens) and not tokens[end].paused  # "behind it eighteen"
        if (
            end > at
            and at not in numbers
            and not (kept and kept[-1].text in _DENIES)
            and not _names_a_part(kept, rule)
            and not (place and chart.match("bare", end))
        ):  # "not quite"
            paused = paused or any(token.paused for token in tokens[at:end])
            at = end
            continue
        token = tokens[at]
        begins = yes_no and len(kept) == 1 and kept[0].text in _ANSWERS and token.text in _SUBJECTS
        kept.append(
            replace(token, paused=token.paused or paused or begins, joined=token.joined and at > 0 and not paused)
        )
        paused = False
        at += 1
    return tuple(kept)
