"""What somebody else says of it: "the last bloke reckoned it was metric", "the book has it down as a flare".

How it works. Where a clause begins with a source of a few words and a verb of saying follows ("reckoned", "has it down
as"), both are taken out: what is told besides is left, and is only perhaps so (:mod:`.loosening`). Whoever that is: the
source is not listed. What one says oneself is no hearsay, and neither is what a gauge shows, or the print on the thing.

Duty: the words without their source. It must not make readings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from voicefit.interpretation.tokens import Token, word_set

_SAYS = word_set(
    "says said say reckons reckoned reckon thinks thought swears swore told tells claims claimed insists insisted "
    "believes believed calls called guesses guessed figures figured states stated lists listed wrote writes gives gave "
    "adamant convinced positive asks calls specifies"
)
_SHOW = frozenset({"shows", "showed", "show"})  # of paper: "the manual shows a flare"
_HAS = frozenset({"has", "had", "have", "puts", "put"})  # "had it down as"
_IT = frozenset({"it", "this", "that", "them", "they"})
_DOWN_AS = frozenset({"down", "as"})
_JOINTS = frozenset({"and", "but", "because", "only", "so", "though", "although", "well"})
_OWN = frozenset(
    {"i", "we", "you", "it", "this", "that", "which", "what", "who", "never", "not", "no", "mine", "nobody", "none"}
)
_ONESELF = frozenset({"i", "we", "you", "no", "not", "nobody"})
_SHOWS = word_set(
    "caliper calipers vernier verniers micrometer mic gauge gauges leaf leaves dial rule ruler tape display screen "
    "readout reading scale needle protractor digital print printing layline marking markings stamp stamping tag label "
    "writing lettering leg"
)
_ELSEWHERE = frozenset(
    {"box", "bag", "packet", "bin", "shelf", "drawing", "paperwork", "book", "manual", "list", "catalogue", "catalog"}
)
_TO_WHOM = word_set("me us him them blind that as down for")
_VERBS = frozenset(
    {"is", "was", "has", "had", "does", "are", "were", "will", "would", "can", "could", "should", "must"}
)
_LONGEST = 6  # words that name who says so


def without_source(tokens: Sequence[Token]) -> Sequence[Token]:
    """The tokens without who says so, clause by clause; all of them where nobody else does."""
    kept: list[Token] = []
    at = 0
    while at < len(tokens):
        begins = at == 0 or tokens[at].paused or tokens[at - 1].text in _JOINTS
        end = _end_of_source(tokens, at) if begins else at
        if end in (at, len(tokens)):
            kept.append(tokens[at])
            at += 1
            continue
        kept.append(replace(tokens[end], paused=bool(kept)))
        at = end + 1
    return kept


def _end_of_source(tokens: Sequence[Token], start: int) -> int:
    """Where what is told begins, behind a source that begins here; ``start`` itself where there is none."""
    if tokens[start].text in _OWN:
        return start
    for verb in range(start + 1, min(start + 1 + _LONGEST, len(tokens))):
        token = tokens[verb]
        if token.paused or token.text[0].isdecimal():
            return start
        words = {each.text for each in tokens[start:verb]}
        end = verb + 1 if token.text in _SHOW and words & _ELSEWHERE else _after_saying(tokens, verb)
        if end > verb:
            own = words & _ONESELF or (words & _SHOWS and not words & _ELSEWHERE)
            return start if own else end
    return start


def _after_saying(tokens: Sequence[Token], verb: int) -> int:
    """Where what is told begins, if ``verb`` is one of saying; else ``verb``."""
    words = [token.text for token in tokens]
    at = verb + 1
    if words[verb] in _HAS:
        at += words[at : at + 1] != [] and words[at] in _IT
        return at + len(_run(words, at, _DOWN_AS)) if words[at : at + 1] and words[at] in _DOWN_AS else verb
    if words[verb] not in _SAYS:
        return verb
    at += len(_run(words, at, _TO_WHOM))
    if words[at : at + 1] and words[at] in _IT and words[at + 1 : at + 2] and words[at + 1] not in _VERBS:
        at += 1  # "calls it a flare"
    return at + len(_run(words, at, _DOWN_AS))


def _run(words: Sequence[str], at: int, of: frozenset[str]) -> list[str]:
    end = at
    while end < len(words) and words[end] in of:
        end += 1
    return list(words[at:end])
