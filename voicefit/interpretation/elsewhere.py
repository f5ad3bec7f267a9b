"""What is told of another thing than the end in hand, supposed or wished for: "the port it goes into is recessed".

How it works. The text is cut into clauses where it pauses or joins. A clause tells nothing of the end in hand where it
begins with words that suppose or wish (the list ``supposed`` of ``words.toml``: "in case", "I ordered"), or weighs two
things ("not sure if it's metric or imperial"); and where what it tells of, up to its verb, is another thing: one of the
list ``others`` ("the spare one"), what stands beside it ("the one next to it"), what it goes into or what goes into it
("what it fits is"), or a part that is no end ("the block"). Likewise where somebody does something but observe (lists
``people`` and ``observes``: "I dropped it this morning"). But not where a phrase or a command begins there and reaches
past the verb: "the pipe is fifteen millimeters". And a clause of the list ``retracts`` takes away what was told before
it: "not this one", "nothing to do with our hose", "but I don't buy it". A number by itself at another place or time
("next to it eighteen", the list ``number-moved``) is told apart, for it is asked of what it is.

Duty: the words that are left. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from itertools import pairwise

from voicefit.interpretation.asking import asks
from voicefit.interpretation.chart import ARTICLES, Chart
from voicefit.interpretation.tokens import Token, word_set

_JOINTS = frozenset({"and", "but", "so", "because", "though", "although", "while"})
_SUBJECTS = word_set("it this that the there they these those mine my our he she i we you its")
_OPENERS = _JOINTS | word_set("well ok okay right now then yeah yes no oh hey look")
_VERBS = word_set("is are was were has have had did measures measured takes reads looks comes")
_IT, _OR, _BUT, _WHETHER = "it", "or", "but", frozenset({"if", "whether"})
_GOES = word_set(
    "goes go screws screw fits fit plugs plug came comes threads mates seals bolts connects runs replaces sits joins"
)
_INTO = word_set("on onto over into in to with up against")
_BESIDE = word_set("beside near behind opposite above below alongside to under by")
_PARTS = word_set(
    "pipe tube tubing line hose bolts block housing ram cylinder pump valve motor tank neighbour neighbor caliper "
    "calipers vernier gauge gauges torch lamp phone headset van"
)
_JAWS = word_set("jaw jaws")
_THE = frozenset({*ARTICLES, "its", "my", "our", "this", "that"})
_MEASURED = word_set("pipe tube tubing line hose bolts")  # their numbers are asked for
_AT = frozenset({"on", "in", "at", "with"})
_SELF = frozenset({"i", "we"})
_MEASURE = word_set("measure measured get got read make see count counted find found")
_TOLD = frozenset({"was", "told"})
_SETTLES = frozenset({("go", "with"), ("going", "with"), ("stick", "with"), ("plump", "for"), ("settle", "on")})
_TAGS, _SAYS = word_set("tag label sticker marking stamp print box bag"), word_set("says said reads")
_WAS = frozenset({"was", "were"})
_WAS_SO = _WAS | word_set("did had stuck went came stood")
_BE_OR_HAVE = _WAS | word_set("am is are have has had been")
_BESIDE_VERBS = _BE_OR_HAVE | word_set(
    "can could will would must shall should do did does may might not never just only already also still even really "
    "always usually nearly almost better now then to ever both all be"
)
_PARTICIPLE = re.compile(r"(ing|ed|en|wn|ught|lt|pt|ost|eft|old|ut|un|ung|uck)$")  # "bought", "left", "cut", "stuck"
_DID = re.compile(r"(ed|ung|ost|oke|ught)$")
_WHAT_WAS_DONE_TO = frozenset({*ARTICLES, "my", "it", "them", "some", "another"})
_A_LITTLE = frozenset({"bit", "little", "touch", "tad", "lot"})
_DOUBTS = ("list-doubtful", "list-unsure", "list-hollow")
_CALLED = 2  # words
_QUESTION = 3  # words
_NOES = frozenset({"no", "nope", "nah", "sorry"})
_ANSWERS = word_set("yes yeah yep no nope nah")
_SAME, _BOTH = "same", word_set("both ends end side either two")
_WISHES = "would"  # "I would like the new one in four spiral"
_LIKE, _ONES = word_set("like as with similar to"), word_set("one ones")
_WHOSE = word_set("my his her our their your i we he she they on in from at that there which")
_OF_THE_PART = 3  # so many words later another verb: "the pump's port is"


def without_others(
    tokens: Sequence[Token], chart: Chart, observes: Set[str], known: Set[str]
) -> tuple[Token, ...] | None:
    """The tokens without the clauses that tell of something else; ``None`` where there are none.
    ``observes`` : what one does who tells of the end; ``known`` : all words of phrases."""
    joints = {at for at in range(1, len(tokens) - 1) if tokens[at].text in _JOINTS and tokens[at + 1].text in _SUBJECTS}
    starts = [at for at, token in enumerate(tokens) if not at or token.paused or at in joints]
    kept: list[Token] = []
    supposed = False
    for start, end in zip(starts, [*starts[1:], len(tokens)], strict=True):
        first = start
        while first < end - 1 and tokens[first].text in _OPENERS:
            first += 1
        goes_on = supposed and tokens[start].text != _BUT
        goes_on = goes_on and not tokens[start].paused
        supposed = goes_on or weighs(tokens[first:end]) or bool(chart.match("list-supposed", first))
        if not supposed and _is_of_another_place(tokens, chart, first, end):
            break  # "on the other one, yes"
        retracts = (stop for at in range(start, end) for stop, *_ in chart.match("list-retracts", at))
        if any(_ends_so(tokens, chart, stop) for stop in retracts):
            kept.clear()
            continue
        clause = tokens[first:end]
        asked = end < len(tokens) and len(clause) >= _QUESTION and asks(clause)  # "does it stick out, let me see"
        told = _compares([token.text for token in clause]) or _tells_of_another(tokens, chart, first, end)
        told = told or _ends_elsewhere(tokens, chart, first, end) or is_doing(tokens, chart, first, end, observes)
        if told and len(kept) > 1 and kept[-1].paused and kept[-1].text in _NOES:
            del kept[max(at for at in range(len(kept) - 1) if at == 0 or kept[at].paused) :]
            continue  # "half inch, no, the other one's half inch"
        if not supposed and not asked and not told:
            kept.extend(tokens[start:end])
    if len(kept) == len(tokens):
        return None
    called = [token.text for token in kept[1:]]
    to_another = 0 < len(called) <= _CALLED and kept[0].text in _ANSWERS and known.isdisjoint(called)
    return () if to_another else tuple(kept)  # "yeah, Bert, I'll be right over"


def without_moved(text: str, tokens: Sequence[Token], chart: Chart) -> tuple[str, tuple[str, ...]]:
    """The text without the clauses that are a number at another place or time, and those: "yesterday eighteen"."""
    moved, at = list[tuple[int, int]](), 0
    while at < len(tokens):
        begins = not at or tokens[at].paused or tokens[at - 1].text in _JOINTS
        ends = [end for end, *_ in chart.match("list-number-moved", at)] if begins else []
        whole = [end for end in ends if end == len(tokens) or tokens[end].paused or tokens[end].text in _JOINTS]
        if whole:
            moved.append((tokens[at].start, tokens[max(whole) - 1].end))
        at = max(whole, default=at + 1)
    rest = text
    for start, end in reversed(moved):
        rest = rest[:start].rstrip(" ,") + rest[end:]
    return rest.lstrip(" ,;."), tuple(text[start:end] for start, end in moved)


def _ends_so(tokens: Sequence[Token], chart: Chart, stop: int) -> bool:
    """Whether neither a verb nor a number goes on: "I doubt it", and not "I doubt it is metric"."""
    if stop == len(tokens) or tokens[stop].paused:
        return True
    return tokens[stop].text not in _VERBS and not chart.match("bare", stop)


def is_doing(tokens: Sequence[Token], chart: Chart, start: int, end: int, observes: Set[str]) -> bool:
    """Whether a clause tells what somebody does or did, but observe: "I picked up a different fitting"."""
    person = max((stop for stop, *_ in chart.match("list-people", start)), default=start)
    doubts = any(chart.match(rule, at) for rule in _DOUBTS for at in range(start, min(start + 2, end)))
    if doubts:
        return False
    if (
        person == start and _DID.search(tokens[start].text) and tokens[start + 1 : end]
    ):  # "dropped a washer in the sump"
        did = tokens[start].text not in observes and tokens[start + 1].text in _WHAT_WAS_DONE_TO
        describes = any(token.text in _A_LITTLE for token in tokens[start + 2 : start + 3])  # "tapered a bit"
        describes = describes or (
            tokens[start + 1].text == _IT and bool(chart.match("reading", start))
        )  # "tapered it has"
        return did and not describes and not _is_phrased(chart, start, start + 1)
    words = [token.text for token in tokens[person:end]]
    verb = next((at for at, word in enumerate(words) if word not in _BESIDE_VERBS), len(words))
    if person == start or verb == len(words):
        return False
    helpers = set(words[:verb])
    does = words[verb] not in observes or (words[verb].endswith("ing") and not helpers.isdisjoint(_WAS))
    if not helpers.isdisjoint(_BE_OR_HAVE):
        does = does and _PARTICIPLE.search(words[verb]) is not None
    counts = chart.match("bare", person + verb)  # "we have | thirteen"
    return does and words[verb].isalpha() and not counts and not _is_phrased(chart, start, person + verb)


def own_words(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """What one says oneself behind a "but", where others said something else, or where one settles on it: "I was told
    A, but I measure B", "could be A, but I'd go with B". What a tag says is another's, where one measured oneself."""
    at = next((at for at in range(1, len(tokens)) if tokens[at].text == _BUT or _is_measured(tokens, at)), 0)
    words = [token.text for token in tokens[:at]]
    after = [token.text for token in tokens[at : at + 6]]
    settles = next((at + place + 2 for place, pair in enumerate(pairwise(after)) if at and pair in _SETTLES), 0)
    if settles:
        return tuple(tokens[settles:])
    told = at > 0 and set(words) >= _TOLD
    tagged = at > 0 and tokens[at].paused and not _TAGS.isdisjoint(words) and not _SAYS.isdisjoint(words)
    return tuple(tokens[at + (tokens[at].text == _BUT) :]) if told or tagged else ()


def _is_measured(tokens: Sequence[Token], at: int) -> bool:
    return tokens[at].paused and tokens[at].text in _SELF and any(t.text in _MEASURE for t in tokens[at + 1 : at + 3])


def _is_of_another_place(tokens: Sequence[Token], chart: Chart, start: int, end: int) -> bool:
    """Whether a clause without a verb names another place, of which what follows is told."""
    if start + 1 >= end or end == len(tokens) or tokens[start].text not in _AT:
        return False
    return any(end - stop <= 1 for stop, *_ in chart.match("list-others", start + 1))


def _ends_elsewhere(tokens: Sequence[Token], chart: Chart, start: int, end: int) -> bool:
    """Whether a clause tells how it was at another thing: "it stuck out on the last one"."""
    if _WAS_SO.isdisjoint(token.text for token in tokens[start:end]):
        return False
    ends = (at for at in range(start + 1, end - 1) if tokens[at].text in _AT)
    return any(stop == end for at in ends for stop, *_ in chart.match("list-others", at + 1))


def weighs(tokens: Sequence[Token]) -> bool:
    """Whether one thing is weighed against another: "not sure if it's metric or imperial"."""
    texts = [token.text for token in tokens]
    return any(word in _WHETHER and _OR in texts[at:] for at, word in enumerate(texts))


def _tells_of_another(tokens: Sequence[Token], chart: Chart, start: int, end: int) -> bool:
    first = start + (tokens[start].text in _THE)
    if first < end and tokens[first].text in _JAWS:
        return not any(chart.match("bare", at) for at in range(start, end))  # "jaws laid flat"
    verbs = [at for at in range(start + 1, end - 1) if tokens[at].text in _VERBS]
    if not verbs:
        return False
    verb = next((at for at in verbs[1:] if at - verbs[0] <= _OF_THE_PART), verbs[0])
    subject = [token.text for token in tokens[start:verb]]
    return not _is_phrased(chart, start, verb) and _is_another(subject, chart, start, end)


def _compares(words: Sequence[str]) -> bool:
    """Whether it is compared with another: "it's like the forty-five one my brother has", "it goes with the
    thirty-seven degree"; "it's like a cone" tells what it is."""
    if words[0] not in _SUBJECTS or not _BOTH.isdisjoint(words):
        return False
    if len(words) > _QUESTION and words[-1] == _SAME and not _VERBS.isdisjoint(words):
        return True  # "the pitch is the same"
    with_another = [at for at, pair in enumerate(pairwise(words)) if pair[0] in _GOES and pair[1] == "with"]
    goes = any(not _THE.isdisjoint(words[at + 2 : at + 3]) for at in with_another)
    like = next((at for at, word in enumerate(words) if word in _LIKE and words[at - 1] != _WISHES), len(words))
    return goes or any(one in _ONES and two in _WHOSE for one, two in pairwise(words[like:]))


def _is_phrased(chart: Chart, start: int, verb: int) -> bool:
    """Whether a phrase or a command begins where a clause does, and reaches past its verb."""
    begins = [(rule, at) for at in range(start, min(start + 2, verb)) for rule in ("said", "command", "turn")]
    return any(stop > verb + 1 for rule, at in begins for stop, *_ in chart.match(rule, at))


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
