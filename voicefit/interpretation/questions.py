"""Which parts of a text ask and which state: "thirty fits flush, how do I know it's not metric" does both.

How it works. The text is cut where it pauses, and where a question begins without a pause ("and is it", "how tight").
A part asks where it begins like a question behind the words that lead in ("so is it ..."), where a question mark stands
behind it, or where it ends by asking back ("..., is it"). What is only named behind a question, or offered as perhaps
so, belongs to it: "what goes on it, a swivel", "what else could it be, metric maybe". So does a word or two before
"and how tight": "sealant, and how tight". What states is one part as far as nothing asks.

Duty: these cuts. What a question is about is for :mod:`voicefit.interpretation.understanding`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from voicefit.interpretation.asking import MAY_I_NOT, PERSONS, asks, offers, without_cleft
from voicefit.interpretation.tokens import Token, word_set

_JOINTS = word_set("and but so or")
_LEAD_IN = _JOINTS | word_set(
    "well okay ok right now then oh hang on wait sorry hey look mate also uh um er hmm just please"
)
_WH = word_set("what which how why who where when")
_VERBS = word_set("is are am does do did has have can could should would will was were shall may might must")
_SUBJECTS = word_set("it this that there i we you they the these those a an any my one") | PERSONS
_OF_A_CLAUSE = _SUBJECTS | {"looks", "seems", "appears", "feels"}  # "what looks like a nose", "where it sits"
_MORE = {  # words behind a question word that make it one wherever it stands
    "how": word_set("tight hard much many about"),
    "what": word_set("about else torque pressure seals seal size if"),
}
_RELATIVE = frozenset({"which", "where", "when"})  # ", which is a flat face", "when I lay it on"
_TOLD_BY = word_set(  # words before a question word that make it a clause of theirs: "I don't know what is in it"
    "know tell see sure idea wonder ask asked say said show of on about is was what remember matter clue no not find "
    "figure out check read from to for with like"
)
_TAGS = tuple(
    tuple(tag.split())
    for tag in (
        "is it", "is that", "is that it", "is it not", "is not it", "or not", "or what", "am i right",
        "do you think", "you think", "do you reckon", "would you say", "does it", "are you sure", "you are sure",
        "you sure", "is true",
        *(" ".join(tag) for tag in MAY_I_NOT),
    )
)  # fmt: skip
_SO = word_set(
    "right wrong correct true so mistaken possible be lying it sure or not is that really off out way far spot on "
    "talking rubbish nonsense having me"
)
_ENOUGH, _UNITS = "enough", word_set("bar psi pounds megapascals")  # "three hundred bar enough"
_BEARS = word_set("hold holds stand take bear do enough")
_HOLDS, _AT = word_set("safe good okay ok rated fine"), word_set("at for to up with")  # "safe at two hundred bar"
_NAMES = frozenset({"a", "an", "the", "some", "maybe", "perhaps", "possibly", "or", "like", "say"})
_PERHAPS = frozenset({"maybe", "perhaps", "possibly", "instead"})
_SAY = word_set("told heard read said says say reckons reckon thinks swears claims apparently supposedly")
_HEARSAY = word_set(
    "was been they he she someone somebody mate boss foreman bloke lad guy storeman dealer man heard read people "
    "apparently supposedly everyone"
)
_ONESELF = word_set("would is gauge print not did")  # "I would say", "the gauge says"
_THAT = word_set("me us that")
_MAY, _ONTO = word_set("can could may"), word_set("on onto into in to it this that")
_GOES = word_set("fits goes screws mates joins connects takes suits")
_ANY = word_set("a an any another")
_SCREWS = word_set("screw go fit mate connect join seal work")
_FEW = 5  # words
_FRONTING = word_set("for on with of")
_THAT_IT = word_set("that it this")  # "does that mean"
_SUPPOSING, _SUPPOSED = word_set("if suppose supposing assuming"), frozenset({"were", "was", "is"})
_NAMED = 8  # words
_TOPIC, _SHORTEST = 2, 3  # words


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a text. ``stated`` : it asks, and has the words of a statement all the same: "M eighteen?".
    ``offers`` : what is named behind a question."""

    text: str
    asks: bool
    stated: bool = False
    offers: str = ""


@dataclass(frozen=True, slots=True)
class _Clause:
    """``named`` : it belongs to the question before it."""

    tokens: tuple[Token, ...]
    asks: bool
    stated: bool
    named: bool = False
    joined: bool = False


def parts(text: str, tokens: Sequence[Token]) -> tuple[Stretch, ...]:
    """The parts of a text in their order; one that states where nothing asks."""
    clauses: list[_Clause] = []
    for start, end in _cuts(tokens):
        clause = tuple(tokens[start:end])
        words = [token.text for token in clause]
        before = clauses[-1] if clauses else None
        if before is not None and (tuple(words) in _TAGS or _asks_whether_so(words)):
            clauses[-1] = replace(before, tokens=(*before.tokens, *clause), asks=True, named=False)
            continue
        asked = _begins_asking(clause, first=start == 0)
        if before is not None and words == [_ENOUGH] and asks_enough([*(t.text for t in before.tokens), *words]):
            clauses[-1] = replace(before, tokens=(*before.tokens, *clause), asks=True)
            continue
        tagged = asks_enough(words) or any(_ends_asking_back(words, tag) for tag in _TAGS)
        tagged = tagged or any(_asks_whether_so(words[at:]) for at in range(_SHORTEST, len(words) - _SHORTEST + 1))
        named = before is not None and before.asks and not asked and (_is_named(words) or offers(clause))
        asks_at_all = asked or tagged or named or _has_mark(text, tokens, end)
        clauses.append(_Clause(clause, asks_at_all, not asked, named, words[0] == "and"))
    if not any(clause.asks for clause in clauses):
        return (Stretch(text, asks=False),)
    found: list[Stretch] = []
    stated: list[Token] = []
    for each, after in zip(clauses, (*clauses[1:], None), strict=True):
        topic = after is not None and after.asks and after.joined and len(each.tokens) <= _TOPIC
        if not (each.asks or topic):
            stated += each.tokens
            continue
        if stated:
            found.append(Stretch(_text(text, stated), asks=False))
            stated = []
        if each.named:
            found[-1] = replace(found[-1], offers=f"{found[-1].offers} {_text(text, each.tokens)}".strip())
        else:
            found.append(Stretch(_text(text, _without_lead_in(each.tokens)), True, each.asks and each.stated))
    if stated:
        found.append(Stretch(_text(text, stated), asks=False))
    return tuple(found)


def _asks_whether_so(words: Sequence[str]) -> bool:
    """Whether it is asked of what was said before whether it is so: "is he right", "could that be"."""
    rest = words[2:]
    return bool(rest) and words[0] in _VERBS and words[1] in PERSONS | _THAT_IT and _SO.issuperset(rest)


def asks_enough(words: Sequence[str]) -> bool:
    """Whether it is asked of a pressure whether it will do: "three hundred bar enough"."""
    return words[-1:] == [_ENOUGH] and not _UNITS.isdisjoint(words)


def fronted(parts: Sequence[Stretch], names: Callable[[str], bool]) -> tuple[Stretch, ...]:
    """The parts with what is put before a question as what it is of: "and for a one inch, what torque", "if it were a
    half inch, what torque". ``names`` : whether a text names an end."""
    found: list[Stretch] = []
    for part in parts:
        before = found[-1] if found else None
        told = before.text if part.asks and before is not None and not before.asks else ""
        if goes := _goes_on(told, part.text):
            found[-1] = replace(part, text=goes)
        elif told and (_is_of_what_follows(told, names) or _bears(told, part.text)):
            found[-1] = replace(part, text=f"{told} {part.text}")
        else:
            found.append(part)
    return tuple(found)


def _goes_on(text: str, question: str) -> str:
    """The question of what is named before it, where it asks whether that goes on: "a light metric nut, does it screw
    on it"; empty where it does not."""
    words = text.casefold().replace(",", " ").split()
    verb, it, goes, *rest = [*question.casefold().replace("?", " ").split(), "", "", ""]
    named = bool(words) and words[0] in _ANY and len(words) <= _NAMED and _VERBS.isdisjoint(words)
    if not named or verb not in _VERBS or it not in _THAT_IT or goes not in _SCREWS:
        return ""
    onto = rest[0] if rest and rest[0] in _ONTO - _THAT_IT else "on"
    return f"{verb} {' '.join(words)} {goes} {onto} it"


def _bears(text: str, question: str) -> bool:
    """Whether it is asked if what was named bears a pressure: "two hundred and eighty bar, will it hold"."""
    words = text.casefold().split()
    asked = question.casefold().split()
    return words[-1:] != [] and words[-1] in _UNITS and len(words) <= _NAMED and asked[-1] in _BEARS


def _is_of_what_follows(text: str, names: Callable[[str], bool]) -> bool:
    words = [word for word in text.casefold().replace(",", " ").split() if word not in _LEAD_IN - _FRONTING]
    supposed = len(words) > 3 and words[0] in _SUPPOSING and not _SUPPOSED.isdisjoint(words[1:4]) and names(text)
    return supposed or (len(words) > 1 and words[0] in _FRONTING)


def _without_lead_in(tokens: Sequence[Token]) -> Sequence[Token]:
    first = next(
        (
            at
            for at, (token, after) in enumerate(pairwise(tokens))
            if token.text not in _LEAD_IN or (token.text in _HOLDS and after.text == "to")  # "okay to run it dry"
        ),
        len(tokens) - 1,
    )
    return tokens[first:]


def _text(text: str, tokens: Sequence[Token]) -> str:
    return text[tokens[0].start : tokens[-1].end]


def _cuts(tokens: Sequence[Token]) -> list[tuple[int, int]]:
    starts = [at for at, token in enumerate(tokens) if not at or token.paused or _begins_amid(tokens, at)]
    return list(zip(starts, [*starts[1:], len(tokens)], strict=True))


def _begins_amid(tokens: Sequence[Token], at: int) -> bool:
    """Whether a question begins here without a pause."""
    words = [token.text for token in tokens[at : at + 4]]
    if words[0] in _JOINTS:
        return len(words) > 1 and (_inverts(words[1:]) or _surely_asks(words[1:]))
    before = tokens[at - 1].text
    return _surely_asks(words) and before not in _TOLD_BY | _LEAD_IN | _WH | _VERBS


def _inverts(words: Sequence[str]) -> bool:
    return len(words) > 1 and words[0] in _VERBS and words[1] in _SUBJECTS


def _surely_asks(words: Sequence[str]) -> bool:
    if len(words) < 2 or words[0] not in _WH:
        return len(words) > 2 and words[0] in _VERBS and words[1] in _THAT_IT and words[2] == "mean"
    return words[1] in _MORE.get(words[0], ()) or _inverts(words[1:])


def _begins_asking(tokens: Sequence[Token], *, first: bool) -> bool:
    rest = _without_lead_in(tokens)
    words = [token.text for token in rest]
    if len(words) > 1 and words[0] in _HOLDS and words[1] in _AT:
        return True
    if (words[0] == "any" and len(words) > 1) or told_to_fit(words):
        return True  # "any ring on that"
    if words[0] in _RELATIVE and not _surely_asks(words) and not (first and words[0] == "which"):
        return False
    if words[0] in _WH and words[1:] and words[1] in _OF_A_CLAUSE and words[0] != "why":
        return False
    return len(words) > 1 and asks(rest) and not without_cleft(rest)


def told_to_fit(words: Sequence[str]) -> int:
    """How many words say that others say so, of what they say goes on or may be put on: "I was told you can screw a
    forty-five on it" asks whether that is so. None where nothing of the kind is told."""
    end = next((at + 1 for at, word in enumerate(words[:_FEW]) if word in _SAY), 0)
    if not end or _HEARSAY.isdisjoint(words[:end]) or not _ONESELF.isdisjoint(words[:end]):
        return 0
    while end < len(words) and words[end] in _THAT:
        end += 1
    rest = words[end:]
    may = bool(rest) and rest[0] in PERSONS and not _MAY.isdisjoint(rest[1:3])
    return end if (may or not _GOES.isdisjoint(rest)) and not _ONTO.isdisjoint(rest) else 0


def _ends_asking_back(words: Sequence[str], tag: tuple[str, ...]) -> bool:
    """Whether the tag stands behind what is stated: "a flare is it"; but "what it is is that" states."""
    before = words[: -len(tag)]
    return bool(before) and tuple(words[-len(tag) :]) == tag and before[-1] not in _SUBJECTS | _VERBS


def _is_named(words: Sequence[str]) -> bool:
    """Whether something is only named, or offered as perhaps so."""
    if len(words) > _NAMED or any(a in _SUBJECTS and b in _VERBS for a, b in pairwise(words)):
        return False
    return words[0] in _NAMES or not _PERHAPS.isdisjoint(words)


def _has_mark(text: str, tokens: Sequence[Token], end: int) -> bool:
    stop = tokens[end].start if end < len(tokens) else len(text)
    return "?" in text[tokens[end - 1].end : stop]
