"""Whether a text asks: whoever asks states nothing.

What begins like a question may be a statement: "what I can see is a nose".

Duty: this. What a question is about is for :mod:`voicefit.interpretation.kinds`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from voicefit.interpretation.scene import Edge
from voicefit.interpretation.tokens import Token, word_set

_ASKS = frozenset({"why", "what", "which", "how", "who", "where", "when"})
_VERBS = word_set("is are am does do did has have can could should would will was were shall may might must")
_SUBJECTS = word_set("it this that there i we you the they these those a an any anything my one")
_IS = frozenset({"is", "are"})
_GO, _ONTO, _THIS = word_set("go fit screw work mate"), word_set("on onto to with"), word_set("it this that here mine")
_HELPING = word_set("to do does did will would can could may might must should not and")
_LEAVE, _JUDGED = (  # "can I", "is it safe to", "is hand tight enough"
    word_set("can could may might shall should"),
    word_set(
        "safe dangerous unsafe risky okay ok alright allowed enough fine bad harm harmful matter problem good usable "
        "useable reusable serviceable"
    ),
)
_FIT_FOR = word_set("rated strong suitable able")
_LASTS, _HOLDS = word_set("will would does"), word_set("hold seal work last")
_IF = frozenset({("what", "if"), ("what", "happens"), ("why", "not")})  # "what happens if I leave it out"
MAY_I_NOT = tuple((may, "not", who) for may in ("can", "could") for who in ("i", "we"))  # "..., can't I"
_OF_WHAT_IT_HAS = frozenset({"has", "have", "had"})
_SHORTEST = 3  # words
_ALL_I_CAN = ["all", "i", "can"]  # see, or feel
_CLEFT = word_set(  # what one has, sees or measures, and where: never what one needs or was told
    "i we you it this that there is are am have has got getting can could see feel find found holding looking at in on "
    "my the hand hands here front of me bench vice end hose came comes off out left sitting lying stuck do know just "
    "only actually been handed given get measure measured read seems looks like appears"
)
_YOU_MEAN = ("do", "you", "mean")
_COMPARED = frozenset({("same", "as"), ("same", "thing"), ("bigger", "than"), ("smaller", "than"), ("equal", "to")})
_SO_IT_IS, _AGREED = word_set("so and but oh it this that is are the just"), word_set("then or surely eh huh")
_MEANS, _WHICH = word_set("is be means mean are"), frozenset({"which"})
_NOTS = frozenset({"not", "no", "never"})
_ARTICLES = frozenset({"a", "an", "any", "anything", "one"})
_FAMILIES = word_set("british japanese metric american french imperial")  # words of the names of several series
_WEIGHTS = word_set("light heavy")
_OF_A_SERIES = word_set("one series kind type version nut male female end fitting cone swivel")  # and no lamp's
_BETWEEN = word_set("between in of")
_DIFFERENCE = ("difference", "differences")
PERSONS = frozenset({"i", "we", "you", "he", "she", "they", "somebody", "someone"})


_GOT_BY = 6  # words


def asks(tokens: Sequence[Token]) -> bool:
    """Whoever asks states nothing: "why not the metric port" is no port, and not "not metric"; nor does what one may
    choose from behind a question: "which is stronger, light or heavy"."""
    pause = next((at for at, token in enumerate(tokens) if at and token.paused), None)
    if pause is not None:
        return offers(tokens[pause:]) and asks(tokens[:pause])
    first, second = tokens[0].text, tokens[1].text if len(tokens) > 1 else ""
    if first in _DIFFERENCE and second in _BETWEEN and _VERBS.isdisjoint(token.text for token in tokens):
        return True  # "difference between dash twelve and dash sixteen"
    subjects = PERSONS | {"it", "this", "that"} if first in _OF_WHAT_IT_HAS else _SUBJECTS | PERSONS
    if second in _NOTS and len(tokens) > 2:
        second = tokens[2].text  # "isn't it a banjo"; but "isn't a banjo" is short for "it isn't a banjo"
        subjects = subjects - _ARTICLES
    words = tuple(token.text for token in tokens[-3:])
    if len(tokens) > len(words) == 3 and words[0] in _GO and words[1] in _ONTO and words[2] in _THIS:
        subject = tokens[-4].text
        if subject not in PERSONS | _SUBJECTS | _HELPING and not subject.endswith("s"):
            return True  # "a fifteen nut go on it"
    texts = [token.text for token in tokens]
    if first in _IS and texts[1:2] == ["not"] and len(texts) > _SHORTEST and texts[3] in _ARTICLES:
        return True  # "isn't nineteen a British thread"
    if first in _OF_WHAT_IT_HAS and second in _ARTICLES | {"the", "this", "its"} and "got" in texts[3:_GOT_BY]:
        return True  # "has the nut got a cone in it"
    if any(tuple(texts[at : at + 3]) == _YOU_MEAN for at in range(len(texts))):
        return True  # "by nose do you mean the bit that sticks out"
    if first in _IS and any(pair in _COMPARED for pair in pairwise(texts)):
        return True  # "is three quarters the same as a dash twelve"
    if any(one in _MEANS and two in _WHICH for one, two in pairwise(texts[1:])):
        return True  # "male would be which one"
    begins = next((at for at, word in enumerate(texts) if word not in _SO_IT_IS), 0)
    if texts[-1] in _AGREED and tuple(texts[begins : begins + 2]) in _COMPARED:
        return True  # "so it's the same as the British one then"
    chooses = first in _IS and second not in _NOTS and offers(tokens[1:])  # "is sixty degrees or fifty-five"
    return first in _ASKS or (first in _VERBS and second in subjects) or chooses


def asks_leave(words: Sequence[str]) -> bool:
    """Whether a question is whether one may do something, or whether it is safe."""
    may = len(words) > 1 and words[0] in _LEAVE and words[1] in PERSONS | {"it", "this", "that", "one"}
    may = may or tuple(words[-3:]) in MAY_I_NOT
    may = may or (
        len(words) > _SHORTEST and words[0] in _LASTS and not _HOLDS.isdisjoint(words[2:])
    )  # "will it hold with a ..."
    return may or tuple(words[:2]) in _IF or not _JUDGED.isdisjoint(words) or "all right" in " ".join(words)


def offers(tokens: Sequence[Token]) -> bool:
    """Whether it is a choice and nothing else: "light series or heavy series", and not "or so, it's a nut"."""
    words = [token.text for token in tokens]
    chooses = any(word == "or" and 0 < at < len(words) - 1 for at, word in enumerate(words))
    return chooses and not any(a in _SUBJECTS and b in _VERBS for a, b in pairwise(words))


def without_cleft(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """What is stated behind "what I can see is ...", "what's left in there is ..."; empty where nothing is said so."""
    words = [token.text for token in tokens]
    if len(words) < _SHORTEST or (words[0] != "what" and words[:3] != _ALL_I_CAN):
        return ()
    end = next((at for at in range(1, len(words)) if words[at] not in _CLEFT or tokens[at].paused), len(words) - 1)
    verb = next((at for at in range(end, 1, -1) if words[at] in ("is", "are")), None)
    asks = words[1] in _VERBS and (verb is None or words[2] in _SUBJECTS)  # "what is it"
    return () if asks or verb is None or verb + 1 >= len(words) else tuple(tokens[verb + 1 :])


def asks_of(tokens: Sequence[Token], chain: Sequence[Edge], takes: Sequence[bool]) -> bool:
    """Whether a thing named first is asked about: "is a banjo okay here", "is nineteen BSP"; but "is male" is short for
    "it is male"."""
    if len(tokens) > 1 and tokens[1].text in _NOTS:
        return False  # "is not conical"
    if tokens[0].text not in _VERBS - _OF_WHAT_IT_HAS or any(token.paused for token in tokens[1:]) or True not in takes:
        return False
    told = chain[takes.index(True) :]
    named = next(edge for edge in chain if edge.items)
    if any(token.text in _JUDGED | _FIT_FOR for token in tokens[named.end :]):
        return True  # "is two SN good for three hundred bar"
    return any(not edge.items for edge in told) or [edge.open for edge in told] == [True, False]


def families(words: Sequence[str]) -> frozenset[str]:
    """The words by which several series are named."""
    weights = {one for one, two in pairwise(words) if one in _WEIGHTS and two in _OF_A_SERIES}
    return frozenset((_FAMILIES & set(words)) | weights)


def is_of_a_weight(tokens: Sequence[Token]) -> bool:
    """Whether nothing is said but the two weights of a series: "heavy or light"."""
    words = {token.text for token in tokens}
    return words >= _WEIGHTS | {"or"} and words <= _WEIGHTS | word_set("or the is it a an")
