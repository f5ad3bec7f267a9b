"""That a leaf or a seat gauge fits, or does not, in whatever words: "sixteen's rocking", "tried the thirty, no joy".

How it works. The text is cut where it pauses or joins ("and", "but"), and the pieces are put together so that each has
one number. Beside the number, words of the lists ``gaps`` and ``sits`` (``words.toml``) say how the gauge lay; a "not"
turns them round, and after "tried" a "no" alone says it. Where each number is told of so, the text is read as if it
said "gap on the sixteen" or "sixteen fits": the rest is the business of the phrases.

Duty: these words in place of others. It must not make readings.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from dataclasses import replace
from itertools import pairwise

from voicefit.interpretation.chart import Chart, inside_numbers
from voicefit.interpretation.grammar import FitWords
from voicefit.interpretation.priors import UNUSUAL
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.turning import Phrase
from voicefit.records import Measurand, Reading

_NEITHER, _NOR = "neither", "nor"
_JOINTS = frozenset({"and", "but", "then", "so", _NOR})
_NOT = word_set("not cannot no never nope nah without none nothing hardly neither nor")
_ELLIPSIS = _JOINTS | word_set("on with the at under for one leaf gauge does did is will do")
_ONLY = "only"
_TRIED = frozenset({"tried", "try", "trying"})
_USELESS = frozenset({("no", "good"), ("no", "luck"), ("no", "joy"), ("no", "way"), ("no", "use"), ("not", "good")})
_OF_A_LEAF = word_set(
    "goes go going sits sit seat bed line not does will would drops in inside down it right flat straight square "
    "this the"
)
_MANY = frozenset({"them", "these", "those"})  # "six spanners and none of them fit"
_SEAT, _THE = "seat", frozenset({"the", "a", "its", "that", "any"})
_LIKEWISE = frozenset({"neither", "nor", "so", "same", "too", "also", "either"})
_BOTH = frozenset({"both", "all", "each"})
_LIGHT, _HELD_TO = "light", frozenset({"the", "my", "good"})  # "held it up to the light" tells of no gap
_SIDES = word_set("end side edge corner place spot tip")
_WHICH = word_set("that which it i for")
_AT, _IT = word_set("under on with at behind round around below beneath"), frozenset({"it", "that", "this"})
_STATES = frozenset((who, says) for who in ("it", "that", "this") for says in ("is", "reads", "says"))
_NOPE, _NAMES = word_set("no nope nah naw"), word_set("the its")
_NEAR = 4  # so many words a "not" stands before what it denies
_FITS, _ROCKS, _UNKNOWN = "fits", "rocks", "unknown"
_GAUGED = frozenset({Measurand.PITCH, Measurand.SEAT_ANGLE, Measurand.FLANK_ANGLE})


def rewritten(tokens: Sequence[Token], chart: Chart, words: FitWords, *, turning: Set[str]) -> tuple[Token, ...] | None:
    """The tokens of the same in known words, or ``None`` where it is not said of each number how it fits. ``turning`` :
    words that may turn or move a meaning."""
    found: list[Token] = []
    before_sits: bool | None = None
    pieces = _pieces(tokens, chart)
    texts = [token.text for token in tokens]
    only = any(token.text == _ONLY for token in tokens)
    numbers = [_number(piece, texts, chart) for piece in pieces]
    if None in numbers or not _MANY.isdisjoint(texts):
        return None
    for piece, (at, end), after in zip(pieces, filter(None, numbers), [*pieces[1:], []], strict=True):
        sits = _sits_in([tokens[place] if not at <= place < end else None for place in piece], words, turning)
        if sits is False and tokens[at].paused and _points_back(texts[piece[0] : at]):
            return None  # "sixteen, no, light under it, eighteen"
        own = max((place for place in piece if place <= at and tokens[place].paused), default=piece[0])
        states = sits is False and own > piece[0] and tuple(texts[own : own + 2]) in _STATES
        if states and _sits_in([tokens[place] for place in piece if place >= end], words, turning) is None:
            return None  # "the gauge was askew, it's eighteen"
        if sits is None and only and tokens[piece[0]].text != _ONLY and len(pieces) > 1:
            continue  # "tried sixteen and eighteen, only the eighteen fits"
        if _NEITHER in texts and _NOR in texts and not words.sits.isdisjoint(texts):
            sits = False  # "neither eighteen nor nineteen fits"
        rest = {tokens[place].text for place in piece if not at <= place < end}
        if sits is None and not _BOTH.isdisjoint(texts[place] for place in after):
            sits = _sits_in([None if texts[place] in _BOTH else tokens[place] for place in after], words, turning)
        if (
            sits is None
            and before_sits is not None
            and rest & (_NOT | _LIKEWISE)
            and rest <= _NOT | _ELLIPSIS | _LIKEWISE
        ):
            sits = before_sits == bool(rest & _LIKEWISE)  # "a gap on nineteen but not on eighteen"; "neither does ten"
        if sits is None and before_sits is False and rest.isdisjoint(_NOT | turning):
            sits = True  # "nineteen rocks, so it's eighteen"
        if sits is None:
            return None
        before_sits = sits
        first = tokens[at]
        behind = (replace(tokens[end - 1], text="fits", joined=False, paused=False),) if sits else ()
        before = () if sits else (replace(first, text="gap", joined=False), replace(first, text="on", joined=False))
        said = [*before, *tokens[at:end], *behind]
        said = [replace(token, paused=place == 0 and bool(found)) for place, token in enumerate(said)]
        found.extend(said)
    return tuple(found) or None


def clause_by_clause(
    tokens: Sequence[Token], chart_of: Callable[[tuple[Token, ...]], Chart], words: FitWords, *, turning: Set[str]
) -> tuple[Token, ...] | None:
    """The tokens with each clause that tells so in known words, all others as they are; ``None`` where none does."""
    joints = _joints(tokens, chart_of(tuple(tokens)))
    starts = [at for at, token in enumerate(tokens) if not at or token.paused or at in joints]
    found: list[Token] = []
    rewrites = False
    for start, end in zip(starts, [*starts[1:], len(tokens)], strict=True):
        clause = tuple(tokens[at] for at in range(start, end) if at not in joints)
        fits = rewritten(clause, chart_of(clause), words, turning=turning) if clause else None
        rewrites = rewrites or fits is not None
        kept = clause if fits is None else fits
        found += [replace(token, paused=token.paused or (place == 0 and start > 0)) for place, token in enumerate(kept)]
    return tuple(found) if rewrites else None


def _joints(tokens: Sequence[Token], chart: Chart) -> set[int]:
    """Where words stand that join two clauses."""
    inside = inside_numbers(tokens, chart)
    return {at for at, token in enumerate(tokens) if token.text in _JOINTS and at not in inside}


def _pieces(tokens: Sequence[Token], chart: Chart) -> list[list[int]]:
    """The places of the tokens, cut so that each piece has a number; what has none belongs to the piece before it, or
    to the first."""
    texts = [token.text for token in tokens]
    joints = _joints(tokens, chart)
    cut: list[list[int]] = [[]]
    for at, token in enumerate(tokens):
        if at and (token.paused or at in joints) and cut[-1]:
            cut.append([])
        cut[-1].append(at)
    pieces: list[list[int]] = []
    for piece in cut:
        if pieces and (_number(piece, texts, chart) is None or _number(pieces[-1], texts, chart) is None):
            pieces[-1].extend(piece)
        else:
            pieces.append(piece)
    return pieces


def _number(piece: Sequence[int], words: Sequence[str], chart: Chart) -> tuple[int, int] | None:
    """From where to where the one number of a piece reaches that a gauge may have."""
    at, last = piece[0], piece[-1] + 1
    found: list[tuple[int, int]] = []
    while at < last:
        if words[at] == "one" and at + 1 < last and words[at + 1] in _SIDES | _WHICH:
            at += 1  # "lifts at one end", "nineteen is the one that fits"
            continue
        every = [match for rule in ("bare", "said") for match in chart.match(rule, at)]
        matches = [match for match in every if match[0] <= last and not match[1].only_if_asked]
        matches = [match for match in matches if not _is_a_gap(words, match[0] - 1)]
        end = max((end for end, _, _ in matches), default=at)
        if any(match[0] == end and _may_be_gauged(match[1]) for match in matches):
            found.append((at, end))
        elif any(_says_else(phrase, words[at:stop]) for stop, phrase, _ in matches):
            return None
        at = max(end, at + 1)
    return found[0] if len(found) == 1 else None


def _is_a_gap(words: Sequence[str], at: int) -> bool:
    """Whether "light" is what is seen, and no series: "eighteen, light under it"."""
    return words[at] == _LIGHT and at + 1 < len(words) and words[at + 1] in _AT


def _points_back(words: Sequence[str]) -> bool:
    """Whether it is told of something named before: "light under it"."""
    return any(one in _AT and two in _IT for one, two in pairwise(words))


def _says_else(phrase: Phrase, heard: Sequence[str]) -> bool:
    """Whether something else is said: but "goes in" is also how a leaf does."""
    is_said = any(isinstance(item, Reading) for item in phrase.items)
    return is_said and not _OF_A_LEAF.issuperset(heard)


def _may_be_gauged(phrase: Phrase) -> bool:
    if len(phrase.items) != 1 or phrase.denies or phrase.corrects:
        return False
    item = phrase.items[0]
    options = item.options if isinstance(item, Reading) else ()
    return any(o.measurand in _GAUGED and (o.log_prior > UNUSUAL or len(options) == 1) for o in options)


def _sits_in(rest: Sequence[Token | None], words: FitWords, turning: Set[str]) -> bool | None:
    """Whether the words beside a number say that the gauge sits, that it does not, or neither; nothing where parts that
    a pause parts say both. ``None`` among them: the number."""
    parts: list[list[str]] = [[]]
    tried = denied = False
    for token in _without_a_no_before(rest):
        if token is None:
            if len(rest) > len(parts[-1]) + 1 and parts[-1][-1:] == ["not"]:
                parts[-1], denied = [], True  # "it's not nineteen, the gauge lifts"
            continue
        if token.paused and parts[-1]:
            parts.append([])
        parts[-1].append(token.text)
        tried = tried or token.text in _TRIED
    said = {_sits(part, words, turning, tried=tried) for part in parts}
    if said == {None} or _UNKNOWN in said:
        return None
    said.discard(None)
    if denied and _ROCKS not in said:
        return None
    return said.pop() is _FITS if len(said) == 1 else None


def _without_a_no_before(rest: Sequence[Token | None]) -> Sequence[Token | None]:
    """Without a "no" that answers what was said before, and denies nothing of it: "no the eighteen had light"."""
    if len(rest) < 2:
        return rest
    first, behind = rest[:2]
    answers = first is not None and first.text in _NOPE and (behind is None or behind.text in _NAMES)
    return rest[1:] if answers else rest


def _sits(rest: Sequence[str], words: FitWords, turning: Set[str], *, tried: bool) -> str | None:
    """What one part says, or nothing."""
    known = words.sits | words.gaps | words.beside | _NOT | _TRIED
    if any(word in turning and word not in known for word in rest):
        return _UNKNOWN
    useless = [at for at, pair in enumerate(pairwise(rest)) if pair in _USELESS]
    nots = [at for at, word in enumerate(rest) if word in _NOT and at not in useless]
    lit = {at for at, word in enumerate(rest) if word == _LIGHT and at and rest[at - 1] in _HELD_TO}
    said = {_ROCKS} if useless or any(a in words.sits and b in words.gaps for a, b in pairwise(rest)) else set()
    denies: set[int] = set()
    for at, word in enumerate(rest):
        noun = word == _SEAT and at > 0 and rest[at - 1] in _THE  # "have not looked at the seat yet"
        if (word in words.sits or word in words.gaps) and at not in lit and not noun:
            beside = next((place for place in reversed(nots) if 0 < at - place <= _NEAR), None)
            denies |= set() if beside is None else {beside}
            badly = word in words.sits and rest[at + 1 : at + 2] and rest[at + 1] in words.gaps
            badly = badly or (_ONLY in rest and not _SIDES.isdisjoint(rest))  # "touches at the edge only"
            said.add(_FITS if (word in words.sits) == (beside is None) and not badly else _ROCKS)
    if not said and nots and tried:
        return _ROCKS
    if len(said) > 1 or denies != set(nots):
        return _UNKNOWN
    return said.pop() if said else None
