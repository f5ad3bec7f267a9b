"""Which tokens may come next so that the text stays inside a language.

Duty: walk a grammar (Lark-style, compiled by llguidance) along the model's reduced tokens, and swallow what the
model writes but the grammar does not: commas between words, stops at the end of a phrase. It must not score.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import llguidance
import numpy as np
from llguidance.numpy import allocate_token_bitmask, fill_next_token_bitmask
from numpy.typing import NDArray

from voicefit.errors import BadGrammar
from voicefit.recognition.vocabulary import END, Vocabulary

Ids = NDArray[np.int32]
_NONE: Ids = np.empty(0, np.int32)
_WORD = re.compile(r"[a-z']+")
_START_RULE = re.compile(r"^start\b", re.MULTILINE)
# Forcing would have llguidance tokenise for itself; the model decides how a forced word is cut into tokens.
_HEAD = '%llguidance {"no_forcing": true}\nstart: " "? the_text\n'
_PAUSES, _STOPS = b",;", b".!?"  # a stop may also be a decimal point; what follows decides
_MAX_STATES = 1_000  # about 5 MB; a matcher, kept for one utterance only, takes 64 kB in the product's grammar


@dataclass(frozen=True, slots=True)
class Prefix:
    """How far a text has got: its reduced letters, and a mark written after them that is not yet settled."""

    text: bytes = b""
    mark: bytes = b""


class Tokens:
    """Those of the vocabulary's tokens that one grammar can use, as llguidance wants them.

    Kept are single letters (beyond ASCII those the grammar has), digits, and every token that is part of a word of
    the grammar: some thousands of 32,768. ``ids`` maps a kept token's place to the model's number.
    """

    eos_token_id = bos_token_id = 0

    def __init__(self, vocabulary: Vocabulary, grammar: str) -> None:
        words = " ".join(sorted(set(_WORD.findall(grammar.lower()))))
        letters = grammar.encode()
        kept = [END] + [
            token
            for token, word in enumerate(vocabulary.reduced)
            if (len(word) == 1 and (word.isascii() or word in letters))
            or (word and all(_usable(part, words) for part in word.split(b" ")))
        ]
        self.ids: Ids = np.array(kept, np.int32)
        self.tokens = [b"<end>", *(vocabulary.reduced[token] for token in kept[1:])]
        self.special_token_ids = [0]
        self.spaced = np.array([vocabulary.written[token].startswith(b" ") for token in kept])
        self.digits = np.array([word[:1].isdigit() for word in self.tokens])
        self.letters = {word[0]: place for place, word in enumerate(self.tokens) if len(word) == 1}
        self.marks = {
            place: word for place, word in enumerate(self.tokens) if len(word) == 1 and word in _PAUSES + _STOPS
        }
        self.place_of = {token: place for place, token in enumerate(kept)}
        self.compiled = llguidance.LLTokenizer(
            llguidance.TokenizerWrapper(self), n_vocab=len(self.tokens), eos_token=0, slices=[]
        )

    def __call__(self, text: str) -> list[int]:
        """llguidance asks for this only to tokenise prompts, of which there are none here."""
        return []


def _usable(part: bytes, words: str) -> bool:
    return part.isdigit() or part.decode("utf-8", "replace") in words


class Constraint:
    """One compiled grammar. Walks are shared between beams and utterances, so each prefix is worked out once."""

    def __init__(self, vocabulary: Vocabulary, grammar: str) -> None:
        """Raises ``BadGrammar`` with llguidance's own words when the grammar does not compile."""
        wrapped, count = _START_RULE.subn("the_text", grammar, count=1)
        if not count:
            raise BadGrammar("constraint", "rules", "no rule named start")
        self._tokens = Tokens(vocabulary, grammar)
        self._root = llguidance.LLMatcher(self._tokens.compiled, _HEAD + wrapped, log_level=0)
        if self._root.is_error():
            raise BadGrammar("constraint", "rules", str(self._root.get_error()).strip())
        self._bits = allocate_token_bitmask(1, len(self._tokens.tokens))
        self._allowed: dict[Prefix, Ids] = {}
        self.rest()

    def rest(self) -> None:
        """Let go of what only the utterance just heard needed; what each prefix allows stays known."""
        self._matchers: dict[bytes, Any] = {b"": self._root}
        self._inside: dict[bytes, Ids] = {}
        if len(self._allowed) > _MAX_STATES:
            self._allowed = {}

    def allowed(self, prefix: Prefix) -> Ids:
        """The model's tokens that may follow, the end token among them where the text may end. Shape (n,)."""
        if prefix not in self._allowed:
            self._allowed[prefix] = self._tokens.ids[self._work_out(prefix)]
        return self._allowed[prefix]

    def follow(self, prefix: Prefix, token: int) -> Prefix:
        """The prefix after one allowed token (not the end token)."""
        place = self._tokens.place_of[token]
        word = self._tokens.tokens[place]
        if prefix.mark and prefix.mark in _PAUSES:
            return Prefix(prefix.text + word)
        if prefix.mark:  # a stop: a phrase ended if a space follows, else it was a decimal point
            return Prefix(prefix.text + word if self._tokens.spaced[place] else prefix.text + prefix.mark + word)
        if place in self._tokens.marks:
            return Prefix(prefix.text, word)
        return Prefix(prefix.text + word)

    def _work_out(self, prefix: Prefix) -> Ids:
        """Places of the tokens that may follow."""
        inside = self._tokens_inside(prefix.text)
        spaced = inside[self._tokens.spaced[inside]]
        end = inside[inside == 0]
        if prefix.mark and prefix.mark in _PAUSES:  # before another word, or between groups of digits: 15,217
            grouped = inside[self._tokens.digits[inside]] if prefix.text[-1:].isdigit() else _NONE
            return np.concatenate([spaced, grouped])
        if prefix.mark:
            point = self._tokens_inside(prefix.text + prefix.mark)
            return np.concatenate([spaced, point[~self._tokens.spaced[point] & (point != 0)], end])
        marks = [
            place
            for place, mark in self._tokens.marks.items()
            if prefix.text and (len(spaced) or (len(end) and mark in _STOPS))
        ]
        return np.union1d(inside, np.array(marks, np.int32))

    def _tokens_inside(self, text: bytes) -> Ids:
        """Places of the tokens that the grammar itself allows after ``text``; none when it does not allow ``text``."""
        if text not in self._inside:
            matcher = self._matcher(text)
            if matcher is None:
                self._inside[text] = _NONE
            else:
                fill_next_token_bitmask(matcher, self._bits, 0)
                bits = np.unpackbits(self._bits[0].view(np.uint8), bitorder="little")
                self._inside[text] = np.flatnonzero(bits[: len(self._tokens.tokens)]).astype(np.int32)
        return self._inside[text]

    def _matcher(self, text: bytes) -> Any:
        """A matcher that has consumed ``text``, or ``None``; grown from the longest prefix already walked."""
        known = len(text)
        while text[:known] not in self._matchers:
            known -= 1
        if self._matchers[text[:known]] is None or known == len(text):
            return self._matchers[text[:known]]
        matcher = self._matchers[text[:known]].deep_copy()
        spelling = [self._tokens.letters[byte] for byte in text[known:]]
        self._matchers[text] = matcher if matcher.try_consume_tokens(spelling) == len(spelling) else None
        return self._matchers[text]
