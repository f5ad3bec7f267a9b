"""What is told of another thing than the end in hand, supposed or wished for: "the port it goes into is recessed".

How it works. The text is cut into clauses where it pauses or joins. A clause tells nothing of the end in hand where it
begins with words that suppose or wish (the list ``supposed`` of ``words.toml``: "in case", "I ordered"), or weighs two
things ("not sure if it's metric or imperial"); and where what it tells of, up to its verb, is another thing: one of the
list ``others`` ("the spare one"), what stands beside it ("the one next to it"), what it goes into or what goes into it
("what it fits is"), or a part that is no end ("the block"). But not where a phrase or a command begins there and
reaches past the verb: "the pipe is fifteen millimeters".

Duty: the words that are left. It must not make readings.
"""

from __future__ import annotations

from collections.abc import Sequence

from voicefit.interpretation import hearsay
from voicefit.interpretation.asking import asks
from voicefit.interpretation.chart import ARTICLES, Chart
from voicefit.interpretation.tokens import Token, word_set

_JOINTS = frozenset({"and", "but", "so", "because", "though", "although", "while"})
_SUBJECTS = word_set("it this that the there they these those mine my our he she i we you its")
_OPENERS = _JOINTS | word_set("well ok okay right now then yeah yes no oh hey look")
_VERBS = word_set("is are was were has have had measures measured takes reads looks comes")
_IT, _OR, _BUT, _WHETHER = "it", "or", "but", frozenset({"if", "whether"})
_GOES = word_set(
    "goes go screws screw fits fit plugs plug came comes threads mates seals bolts connects runs replaces sits joins"
)
_INTO = word_set("on onto over into in to with up against")
_BESIDE = word_set("beside near behind opposite above below alongside to under by")
_PARTS = word_set(
    "pipe tube tubing line hose bolts block housing ram cylinder pump valve motor tank neighbour neighbor"
)
_THE = frozenset({*ARTICLES, "its", "my", "our", "this", "that"})
_MEASURED = word_set("pipe tube tubing line hose bolts")  # their numbers are asked for
_AT = frozenset({"on", "in", "at", "with"})
_TOLD = frozenset({"was", "told"})
_QUESTION = 3  # words
_OF_THE_PART = 3  # so many words later another verb: "the pump's port is"


def without_others(tokens: Sequence[Token], chart: Chart) -> tuple[Token, ...] | None:
    """The tokens without the clauses that tell of something else; ``None`` where there are none."""
    joints = {at for at in range(1, len(tokens) - 1) if tokens[at].text in _JOINTS and tokens[at + 1].text in _SUBJECTS}
    starts = [at for at, token in enumerate(tokens) if not at or token.paused or at in joints]
    kept: list[Token] = []
    supposed = False
    for start, end in zip(starts, [*starts[1:], len(tokens)], strict=True):
        first = start
        while first < end - 1 and tokens[first].text in _OPENERS:
            first += 1
        goes_on = supposed and not tokens[start].paused and tokens[start].text != _BUT
        supposed = goes_on or weighs(tokens[first:end]) or bool(chart.match("list-supposed", first))
        if not supposed and _is_of_another_place(tokens, chart, first, end):
            break  # "on the other one, yes"
        clause = tokens[first:end]
        asked = end < len(tokens) and len(clause) >= _QUESTION and asks(clause)  # "does it stick out, let me see"
        if not supposed and not asked and not _tells_of_another(tokens, chart, first, end):
            kept.extend(tokens[start:end])
    return None if len(kept) == len(tokens) else tuple(kept)


def own_words(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """What one says oneself behind a "but", where others said something else: "I was told A, but I measure B"."""
    at = next((at for at in range(1, len(tokens)) if tokens[at].text == _BUT), 0)
    told = at > 0 and (len(hearsay.without_source(tokens[:at])) < at or {token.text for token in tokens[:at]} >= _TOLD)
    return tuple(tokens[at + 1 :]) if told else ()


def _is_of_another_place(tokens: Sequence[Token], chart: Chart, start: int, end: int) -> bool:
    """Whether a clause without a verb names another place, of which what follows is told."""
    if start + 1 >= end or end == len(tokens) or tokens[start].text not in _AT:
        return False
    return any(end - stop <= 1 for stop, *_ in chart.match("list-others", start + 1))


def weighs(tokens: Sequence[Token]) -> bool:
    """Whether one thing is weighed against another: "not sure if it's metric or imperial"."""
    texts = [token.text for token in tokens]
    return any(word in _WHETHER and _OR in texts[at:] for at, word in enumerate(texts))


def _tells_of_another(tokens: Sequence[Token], chart: Chart, start: int, end: int) -> bool:
    verbs = [at for at in range(start + 1, end - 1) if tokens[at].text in _VERBS]
    if not verbs:
        return False
    verb = next((at for at in verbs[1:] if at - verbs[0] <= _OF_THE_PART), verbs[0])
    begins = [(rule, at) for at in range(start, min(start + 2, verb)) for rule in ("said", "command")]
    phrased = any(stop > verb + 1 for rule, at in begins for stop, *_ in chart.match(rule, at))
    return not phrased and _is_another([token.text for token in tokens[start:verb]], chart, start, end)


def _is_another(subject: Sequence[str], chart: Chart, start: int, end: int) -> bool:
    if any(chart.match("list-others", start + at) for at in range(len(subject))):
        return True
    if subject[-1] in _PARTS and all(word in _THE for word in subject[:-1]):
        return subject[-1] not in _MEASURED or not any(chart.match("bare", at) for at in range(start, end))
    its = [at for at in range(1, len(subject)) if subject[at] == _IT]
    goes = any(word in _GOES for word in subject)
    beside = any(subject[at - 1] in _BESIDE for at in its)
    relative = any(subject[at + 1 : at + 2] and subject[at + 1] in _GOES for at in its)
    return beside or relative or (goes and any(subject[at - 1] in _INTO for at in its))
