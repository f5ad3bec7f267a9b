"""What matches a phrase and is no reading: a thing named in passing, a word of place, a share of a thing.

How it works. A match knows its own words alone; here the words beside it are looked at. "A mark past the nut" has the
nut for a place, and "the pipe that goes in" tells of no seat. "Round the nose" and "straight to a hose" say where.
"Half the print" holds what would be a number by itself. What cuts something longer is in ``cutting``.

Duty: this, of one match in a text. It must not weigh anything (:mod:`voicefit.interpretation.edges` does).
"""

from __future__ import annotations

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.cutting import cuts, is_of
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.turning import Phrase
from voicefit.records import Measurand, Reading

_ARTICLES = frozenset({"the", "a", "its", "my", "your", "this", "that", "what"})
_ROUND, _STRAIGHT = "round", "straight"
_IN = frozenset({"in", "inside"})
_RINGS = frozenset({"ring", "rings"})
_SHARES = frozenset({"half", "quarter"})
_OF, _ONE, _POINTS = "of", "one", frozenset({"this", "that", "which"})
_BOSS = "boss"
_FITS = word_set("fits sits seats meshes matches touches beds drops goes slides rocks gaps is was looks")
_KNOWN = frozenset({"the", "its", "my", "your", "his", "her", "their", "this", "that", "each", "every", "both"})
_INTO = frozenset({"into", "onto"})  # whatever is named then is the mate: "screws into a female"
_BESIDE = frozenset({"past", "near", "beside", "beyond", "towards", "alongside"})
_AT = _BESIDE | word_set(
    "on onto by behind under underneath against around round over across along below above beneath between from off "
    "through at to inside in into"
)
_BOTH = frozenset({"both", "each"})  # "straight both ends"
_WHERE_TO = _AT | {"out", "down", "up", "back", "away", "over"}
_MOVES = word_set(
    "goes go going comes come coming sticks sticking drops poking pokes standing pointing jutting bulging facing"
)
_LET = frozenset({"recessed", "sunk", "sunken"})  # "a ring recessed into it"
_OTHERS = word_set(
    "that which what pipe tube tubing leaf gauge bolt bolts hose nut ring washer line spanner clip pin staple stud "
    "male female coupler sleeve oil caliper screw wire o"
)
_WHICH, _GAUGES = frozenset({"that", "which"}), word_set("gauge leaf leaves blade one")  # "the gauge that goes in"
_NOS, _NEAR = frozenset({"no", "without", "never", "not"}), 4  # words before what moves
_SEATS = frozenset({"seat", "nose", "cone", "flare"})
_TURNS = word_set(
    "spins turns rotates swivels goes spin turn rotate swivel go spinning turning going moves all right way"
)
_PIPE_THREADS = word_set("taper tapered parallel british american")
_HANDLES = frozenset({"looking", "working", "look", "am", "are"})  # "working on the male"
_SEEN = frozenset(
    {
        Measurand.SEAT_FORM,
        Measurand.GENDER,
        Measurand.SEAL,
        Measurand.SHAPE,
        Measurand.NOSE,
        Measurand.SHOULDER_EDGE,
        Measurand.BODY,
    }
)
_BESIDE_IT = frozenset({Measurand.SHAPE, Measurand.GENDER, Measurand.SERIES})
_HOLLOW, _BOLTS = frozenset({"hollow", "hollowed"}), word_set("bolt screw banjo")
_COLLAR, _THREADED = "collar", word_set("pipe female threaded screwed thread bsp npt bspp bspt weld coupling half")
_PLACED = _ARTICLES | {"it", "them"}


def is_in_passing(tokens: tuple[Token, ...], start: int, phrase: Phrase) -> bool:
    """Whether a thing is only named in passing, so that its words carry nothing."""
    return (
        _is_named_in_passing(tokens, start, phrase)
        or _is_of_what_moves(tokens, start, phrase)
        or _is_round_otherwise(tokens, start, phrase)
        or _is_of_a_drilled_bolt(tokens, start, phrase)
        or _is_a_piece(tokens, start, phrase)
    )


def is_contrasted(chart: Chart, tokens: tuple[Token, ...], start: int, end: int, phrase: Phrase) -> bool:
    """Whether a part is only named as the one that was meant, and another as the one that was not: "the nose, not the
    thread"; but "the nose, not the recess" says what it is."""
    words = [token.text for token in tokens]
    if words[start : start + 2] == ["not", "the"] and words[start - 2 : start - 1] == ["the"]:
        others = [other for stop, other, _ in chart.match("reading", start - 2) if stop == start]
    elif words[end : end + 2] == ["not", "the"] and "the" in words[max(0, start - 1) : start + 1]:
        others = [other for _, other, _ in chart.match("reading", end) if other.denies]
    else:
        return False
    said = {m for item in phrase.items if isinstance(item, Reading) for m in item.measurands}
    items = (item for other in others for item in other.items)
    return not any(isinstance(item, Reading) and not said.isdisjoint(item.measurands) for item in items)


def answers_by_itself(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether the "no" that it begins with is all of an answer: "no, | the gauge shows light" lacks no gauge."""
    return tokens[start].text == "no" and end > start + 1 and tokens[start + 1].paused


def is_no_reading(chart: Chart, tokens: tuple[Token, ...], start: int, end: int, phrase: Phrase) -> bool:
    """Whether the words beside it make something else of it."""
    if cuts(chart, tokens, start, end, phrase) or _is_a_place(tokens, start, end) or _is_that_one(tokens, start, end):
        return True
    if tokens[start].text == _BOSS and start + 1 == end == len(tokens) > 1 and tokens[start].paused:
        return True  # "no rubber anywhere, boss"
    if _stands_beside(tokens, end) and all(isinstance(i, Reading) and i.measurands <= _BESIDE_IT for i in phrase.items):
        return True
    return (phrase.open and _is_a_share(tokens, start, end)) or _names_a_hose(tokens, start, end, phrase)


def _is_that_one(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether "one" is no number but the gauge in hand: "thirty seven, that one fits"."""
    if start == 0 or end < start + 2 or tokens[start].paused or tokens[start].text != _ONE:
        return False
    return tokens[start - 1].text in _POINTS and tokens[start + 1].text in _FITS


def _is_named_in_passing(tokens: tuple[Token, ...], start: int, phrase: Phrase) -> bool:
    """Whether a thing is only named as a place: "a mark past the nut" is no nut in hand."""
    if start == 0 or tokens[start].paused or phrase.denies or phrase.only_if_asked:
        return False
    if not all(isinstance(item, Reading) and item.measurands <= _SEEN for item in phrase.items):
        return False
    mate = all(isinstance(item, Reading) and item.measurands == {Measurand.GENDER} for item in phrase.items)
    first = start
    while (
        first > 0 and not tokens[first].paused and tokens[first - 1].text in _KNOWN | ({"a", "an"} if mate else set())
    ):
        first -= 1
    if first == 0 or tokens[first].paused:
        return False
    place = tokens[first - 1].text
    named = place in _BESIDE or (place in _AT and tokens[first].text in _KNOWN) or (mate and place in _INTO)
    return named and not (first > 1 and tokens[first - 2].text in _HANDLES)


def _is_of_what_moves(tokens: tuple[Token, ...], start: int, phrase: Phrase) -> bool:
    """Whether another thing than a seat goes in or comes out: "the pipe that goes in", "a tube coming out"."""
    if start and start + 1 < len(tokens) and tokens[start].text in _WHICH:
        return tokens[start - 1].text in _GAUGES and not tokens[start].paused and _moves(tokens[start + 1], phrase)
    first = tokens[start]
    if first.paused or not start:
        return False
    of_another = tokens[start - 1].text in _OTHERS
    let = first.text in _LET and tokens[start - 1].text in _RINGS
    denied = _is_denied_with_its_thing(tokens, start)
    if (first.text not in _MOVES or not (denied or of_another)) and not let:
        return False
    return _is_of_a_seat(phrase)


def _is_round_otherwise(tokens: tuple[Token, ...], start: int, phrase: Phrase) -> bool:
    """Whether "round" is how a thing turns, or lies flat: "a nut that spins round", "flat round end"."""
    before = tokens[start - 1].text if start and not tokens[start].paused else ""
    return tokens[start].text == _ROUND and before in _TURNS | {"flat"} and is_of(phrase, Measurand.NOSE)


def _is_of_a_drilled_bolt(tokens: tuple[Token, ...], start: int, phrase: Phrase) -> bool:
    """Whether it is a bolt that is hollow, and no seat: "banjo bolt, hollow with a cross hole"."""
    words = [token.text for token in tokens]
    hollow = not _HOLLOW.isdisjoint(words[start : start + 4]) and _is_of_a_seat(phrase)
    return hollow and not _BOLTS.isdisjoint(words) and _SEATS.isdisjoint(words)


def _is_a_piece(tokens: tuple[Token, ...], start: int, phrase: Phrase) -> bool:
    """Whether a collar is the piece in hand, and no shoulder of it: "a female pipe collar", "collar with a thread"."""
    first = next((at for at in (start, start + 1) if [t.text for t in tokens[at : at + 1]] == [_COLLAR]), None)
    if first is None or not _is_of_a_seat(phrase):
        return False
    named = first > 0 and not tokens[first].paused and tokens[first - 1].text in _THREADED
    return named or (start == 0 and [token.text for token in tokens[first + 1 : first + 2]] == ["with"])


def _moves(verb: Token, phrase: Phrase) -> bool:
    return verb.text in _MOVES and _is_of_a_seat(phrase)


def _is_of_a_seat(phrase: Phrase) -> bool:
    return all(isinstance(item, Reading) and item.measurands == {Measurand.SEAT_FORM} for item in phrase.items)


def _is_denied_with_its_thing(tokens: tuple[Token, ...], start: int) -> bool:
    """Whether what moves is not there: "no ball poking out"."""
    first = next((at for at in range(start, 0, -1) if tokens[at].paused), 0)
    return any(token.text in _NOS for token in tokens[max(first, start - _NEAR) : start - 1])


def _is_a_share(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether a fraction by itself is a part of a thing: "half the print is gone" is no half inch."""
    if end != start + 1 or end == len(tokens) or tokens[end].paused:
        return False
    return tokens[start].text in _SHARES and (tokens[end].text in _ARTICLES - {"a"} or tokens[end].text == _OF)


def _is_a_place(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether the last word says where, before a thing: "a ring round the nose" is no round nose, and what goes
    "straight to a hose" is no straight thread."""
    if end == len(tokens) or tokens[end].paused:
        return False
    last, after = tokens[end - 1].text, tokens[end].text
    if last in _IN and end == start + 1:
        return after in _KNOWN  # "a ball nose in the nut"
    return (last == _ROUND and after in _PLACED) or (last == _STRAIGHT and after in _WHERE_TO | _BOTH)


def _names_a_hose(tokens: tuple[Token, ...], start: int, end: int, phrase: Phrase) -> bool:
    """Whether a hose or a pipe is named before a pause, and a size behind it: "boom hose, outside twenty" is of the
    end, and so is "taper pipe, twenty-six two"."""
    said = {m for item in phrase.items if isinstance(item, Reading) for m in item.measurands}
    pauses = any(token.paused for token in tokens[start + 1 : end])
    named = said == {Measurand.HOSE_OUTSIDE_DIAMETER} or (
        said == {Measurand.TUBE_OUTSIDE_DIAMETER} and tokens[start - 1].text in _PIPE_THREADS
    )
    return named and pauses and start > 0 and not tokens[start].paused


def _stands_beside(tokens: tuple[Token, ...], end: int) -> bool:
    """Whether it is another thing than "it": "there's a banjo next to it"."""
    words = [token.text for token in tokens[end : end + 3]]
    words = words[1:] if words[:1] == ["next"] else words
    return len(words) > 1 and words[0] in _BESIDE | {"to", "opposite", "above"} and words[1] in ("it", "this")
