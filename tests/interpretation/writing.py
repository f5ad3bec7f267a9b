"""Whether a constraint lets an engine write a text, asked of llguidance itself, letter by letter."""

from __future__ import annotations

from typing import Any

import llguidance

LETTERS = llguidance.LLTokenizer("byte")


def matcher(grammar: str) -> Any:
    """A matcher over bytes; fails the test when the grammar does not compile."""
    made = llguidance.LLMatcher(LETTERS, llguidance.grammar_from("lark", grammar), log_level=0)
    assert not made.is_error(), made.get_error()[:500]
    return made


def accepts(fresh: Any, text: str) -> bool:
    """Whether ``text`` may be written, and may end there."""
    walk = fresh.deep_copy()
    taken = walk.try_consume_tokens(list(text.encode()))
    assert not walk.is_error(), walk.get_error()[:500]
    return bool(taken == len(text.encode()) and walk.is_accepting())
