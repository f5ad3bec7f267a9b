"""Which piece of the job the words of a text are said of: "end one male three quarter sixteen, end two a nut".

How it works. A name of a piece (the list ``named-piece`` of ``words.toml``) stands where a clause begins: what is said
behind it, up to the next name, is of that piece. Or it is named in the midst of what is said or asked ("what is the
pitch on end two"): then all of it is, and reads as if it were said of the piece in hand, with the name left out, or an
"it" in its place. What is read so comes behind a command that names the piece.

Duty: the names, and what is said of each. It must not know what pieces there are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass, replace
from itertools import pairwise, product

from voicefit.interpretation.answers import is_one_answer
from voicefit.interpretation.chart import ONE_NUMBER, Chart
from voicefit.interpretation.tokens import Token, word_set
from voicefit.records import Command, Context, Item, Meaning, Measurand, Reading, Rejection

PIECE = "piece"
OTHER, BOTH = "other", "both"
BEGINS, NEXT, _OPENED_BY_IT = "other-end", "next", "one-end"
_THEN = "then"  # "and then there's a port": the next, where that is no end in hand
WHAT_IT_IS = frozenset({Measurand.GENDER, Measurand.SERIES, Measurand.SHAPE})  # whoever says it describes an end
_TELLS_OF_ONE = WHAT_IT_IS | {Measurand.THREAD_SYSTEM, Measurand.DASH}  # "the other is half inch BSP"
_OF_AN_END = WHAT_IT_IS | {Measurand.PITCH, Measurand.SEAT_FORM, Measurand.SEAT_ANGLE, Measurand.THREAD_SIDE}
_NAMES, _OTHER_NAMED, _ONE_OF_TWO = "list-named-piece", "list-other-named", "list-one-of-two"
_THEN_THERE = "list-then-there"
NUMBERS = {
    word: str(number)
    for number, words in enumerate(
        ("one first", "two second", "three third", "four fourth", "five fifth", "six sixth"), 1
    )
    for word in (str(number), *words.split())
}
_OTHERS, _BOTHS = frozenset({"other", "far", "opposite"}), frozenset({"both"})
_NAME_IT_THEMSELVES = word_set(
    "order-other same-end both-ends go-to-end go-back-to adapter join-ends ends-differ remove-piece leave-piece undo "
    "was-right"
)
_JUDGES = frozenset({"wrong", "was-right", "aside"})  # of one of several readings: "the first one was wrong"
_MOST_BEFORE = 10  # words of such a command before the name
_OPENERS = word_set("and now so then right okay ok next no well wait on of for about at to with oh sorry yes a the")
_JOINTS = word_set("and then but while")
_AT = word_set("on of for about at to with from in by")
_ITS = word_set("the this that my a an one other same each either its hose male female")  # "the end one thread is bad"
_VERBS = word_set("is has was looks measures takes needs wants had got gets reads")
_TELLS_NOTHING = frozenset({"aside", "yes", "no", "cannot-tell", "okay", "hello", "repeat", "attention", "other-end"})
_THIS_ONE = frozenset({("this", "one"), ("this", "end"), ("mine", "is"), ("mine", "has")})
_ANYTHING = Context()

Says = Callable[[str, Context], tuple[Meaning, ...]]  # best first
_MOST_MEANINGS = 8


@dataclass(frozen=True, slots=True)
class _Name:
    start: int
    end: int
    argument: str
    heard: str
    follows: bool  # another is named before


def said_of_pieces(
    text: str, tokens: Sequence[Token], chart: Chart, says: Says, context: Context, units: Set[str]
) -> tuple[Meaning, ...] | None:
    """The meanings of a text, what is said of a named piece behind a command that names it; ``None`` where no piece is
    named, or nothing is said of it. ``says`` : what a part may mean. ``units`` : a number before them counts those."""
    if begun := _begun(text, tokens, chart, says, context):
        return begun
    names = list(_names(tokens, chart, context, units))
    if not names or (len(tokens) == names[0].end - names[0].start):
        return None
    if names[-1].end == len(tokens) and is_one_answer(says(text, context)[0], context):
        return None  # asked for the seal: "the ring would be in the other end"
    if len(names) > 1 and not all(_begins(tokens, name) for name in names[1:]):
        split = [name for name in names if _begins(tokens, name) or _ends_what_tells(text, tokens, names, name, says)]
    else:
        split = names
    if len(names) > 1 and split[1:] != names[1:]:
        return None  # "what joins end one to end two"
    parts: list[tuple[Meaning, ...]] = []
    ends = [*(_start(tokens, name) for name in names[1:]), len(tokens)]
    for at, (name, end) in enumerate(zip(names, ends, strict=True)):
        before = (0, _start(tokens, name)) if at == 0 else (name.start, name.start)
        if at == 0 and before[1] > 0 and (_begins(tokens, name) or _tells(text, tokens, 0, name.start, says)):
            if name.end < end:
                opens = any(call.name == _OPENED_BY_IT for _, call, _ in chart.match("command", 0))
                parts.append(says(_text(text, tokens, *before), bare(context) if opens else context))
                before = (name.start, name.start)
            else:
                before = (0, name.start)
        elif at == 0 and not _begins(tokens, name):
            before = (0, name.start)
        said = _said_of(text, tokens, name, before, end, says, context)
        if said is None:
            return None
        parts += [_saying(Command(PIECE, name.heard, argument=name.argument)), said]
    found = _put_together(text, parts)
    return found if any(not isinstance(item, Command) or item.name != PIECE for item in found[0].items) else None


def is_of_its_end(meaning: Meaning, context: Context) -> bool:
    """Whether an inside is the end's where a hose's bore is asked for: it is said beside what only an end has: "female
    nut, inside twenty four point nine"."""
    said = [item.measurands for item in meaning.items if isinstance(item, Reading)]
    bore = Measurand.HOSE_BORE
    return bore in context.expected and any(bore in each for each in said) and any(each <= _OF_AN_END for each in said)


def _saying(*items: Item) -> tuple[Meaning, ...]:
    return (Meaning("", items, 0.0),)


def _put_together(text: str, parts: Sequence[Sequence[Meaning]]) -> tuple[Meaning, ...]:
    """The likeliest ways to take a text whose parts may each be taken in several: each part reads as by itself."""
    found = [Meaning(text, (), 0.0)]
    for part in parts:
        each = (
            Meaning(text, (*one.items, *two.items), one.log_weight + two.log_weight)
            for one, two in product(found, part)
        )
        found = sorted(each, key=lambda meaning: -meaning.log_weight)[:_MOST_MEANINGS]
    return tuple(found)


def _begun(
    text: str, tokens: Sequence[Token], chart: Chart, says: Says, context: Context
) -> tuple[Meaning, ...] | None:
    """What is said of a piece that is only begun: "next fitting, it's a nut", "next, a nut". It is told, not asked."""
    if any(t.paused and (t.text, t2.text) in _THIS_ONE for t, t2 in pairwise(tokens)):
        return None  # "the other end's a female, this one's male"
    first = next((at for at, token in enumerate(tokens) if token.text not in _OPENERS), len(tokens))
    starts = range(min(first + 1, len(tokens)))
    calls = [(at, *match) for at in starts for match in chart.match("command", at)]
    begins = ((end, call.name, _numbers(tokens[at:end])) for at, end, call, _ in calls)
    found = [(end, name) for end, name, numbered in begins if name == NEXT or (name == BEGINS and not numbered)]
    found = found or [(end, OTHER) for at in starts for end in _other_named(tokens, chart, at)]
    end, name = max(found or [(end, _THEN) for end, *_ in chart.match(_THEN_THERE, 0)], default=(len(tokens), ""))
    longer = [past for at in range(first, end) for past, *_ in chart.match(_NAMES, at)]  # "next, piece | two"
    longer += [past for _, past, call, _ in calls if call.name in _NAME_IT_THEMSELVES]
    if end == len(tokens) or max(longer, default=0) > end:
        return None
    one = name == NEXT and tokens[end - 1].text == "one"  # "the next one's a nut", and not "next" alone
    start = end + (one and tokens[end].text in _VERBS and end + 1 < len(tokens))
    said = says("it " * (tokens[start].text in _VERBS) + _text(text, tokens, start, len(tokens)), bare(context))
    readings = [item for item in said[0].items if isinstance(item, Reading) and (one or not item.guessed)]
    told = {m for reading in readings for m in reading.measurands}
    pauses = tokens[end].paused or start > end
    if (
        not told
        or (name == NEXT and not pauses)
        or (told.isdisjoint(_TELLS_OF_ONE) and not (name == BEGINS and pauses))
    ):
        return None  # "the other end is three quarter" may only be told in passing
    if name == _THEN and len(readings) == 1:
        return None  # "and then there's a nut" is one over the tube
    name = NEXT if name in (NEXT, _THEN) and not one else BEGINS
    return _put_together(text, (_saying(Command(name, _text(text, tokens, 0, end))), said))


def _numbers(tokens: Sequence[Token]) -> bool:
    return any(token.text in NUMBERS for token in tokens)


def _names(tokens: Sequence[Token], chart: Chart, context: Context, units: Set[str]) -> Iterator[_Name]:
    past = 0
    for at, token in enumerate(tokens):
        found = [end for end, *_ in chart.match(_NAMES, at)]
        if past and not found and (token.paused or tokens[at - 1].text in _JOINTS):
            found = _other_named(tokens, chart, at)
        if at < past or not found:
            past = max([past, *(end for end, *_ in chart.match(_ONE_OF_TWO, at))]) if at == past else past
            continue
        end = max(found)
        words = [each.text for each in tokens[at:end]]
        argument = next((NUMBERS[word] for word in words if word in NUMBERS), "")
        argument = argument or (OTHER if _OTHERS & set(words) else BOTH if _BOTHS & set(words) else "")
        amid = at > 0 and not token.paused and tokens[at - 1].text in _ITS and words[0] not in ("the", "both")
        counts = words[-1] in NUMBERS and end < len(tokens) and not tokens[end].paused and tokens[end].text in units
        chosen = words[-1] == "one" and "first-one" in context.commands and len(words) > 1 and words[-2] not in _PIECES
        judged = any(stop > end and call.name in _JUDGES for stop, call, _ in chart.match("command", at))
        counts = counts or _begins_a_number(tokens, chart, end)
        if not argument or amid or counts or chosen or judged or _is_named_within(tokens, chart, at, end):
            continue
        yield _Name(at, end, argument, " ".join(words), past > 0)
        past = end


def _begins_a_number(tokens: Sequence[Token], chart: Chart, end: int) -> bool:
    """Whether the last word of a name begins a decimal, or behind a pause any longer number: "stud end, | one point
    six", "male end, | three quarter"."""
    rules = (*ONE_NUMBER, "fraction") if tokens[end - 1].paused else ("decimal",)
    return tokens[end - 1].text in NUMBERS and any(
        stop > end for rule in rules for stop, *_ in chart.match(rule, end - 1)
    )


def _other_named(tokens: Sequence[Token], chart: Chart, at: int) -> list[int]:
    """Where a bare "other" ends at a place that is said of an end: "the other a male", "other one's a nut"."""
    ends = [end for end, *_ in chart.match(_OTHER_NAMED, at) if end < len(tokens)]
    return [end for end in ends if not tokens[end].paused and tokens[end].text not in _NO_END]


_NO_END = word_set("way direction one side end")
_PIECES = word_set("end piece fitting connector adapter number")


def _is_named_within(tokens: Sequence[Token], chart: Chart, start: int, end: int) -> bool:
    """Whether the name belongs to a command that speaks of pieces itself: "same as end one"."""
    for at in range(max(0, start - _MOST_BEFORE), start + 1):
        for stop, call, _ in chart.match("command", at):
            pauses = any(token.paused for token in tokens[at + 1 : stop])
            whole = stop == len(tokens)
            own = call.name in _NAME_IT_THEMSELVES or (call.name == _OPENED_BY_IT and whole)
            own = own and not (call.name == "both-ends" and whole and at)  # "torque both ends" tells nothing of them
            if stop >= end and ((own and not pauses) or (whole and at < start and tokens[start].paused)):
                return True  # the latter is a phrase of two clauses, this name among them
    return False


def _start(tokens: Sequence[Token], name: _Name) -> int:
    """Where the clause begins that a name opens, what only leads to it included; else where the name begins."""
    at = name.start
    while at > 0 and not tokens[at].paused and tokens[at - 1].text in _OPENERS:
        at -= 1
    while at > 0 and tokens[at].paused and tokens[at - 1].text in _OPENERS:
        at -= 1  # "next, piece two"
    joint = next((k for k in range(name.start - 1, at - 1, -1) if tokens[k].text in _JOINTS), None)
    return at if at == 0 or tokens[at].paused else name.start if joint is None else joint


def _begins(tokens: Sequence[Token], name: _Name) -> bool:
    at = _start(tokens, name)
    return at == 0 or tokens[at].paused or tokens[at].text in _JOINTS


def _tells(text: str, tokens: Sequence[Token], start: int, end: int, says: Says) -> bool:
    """Whether words say something of an end, and nothing else."""
    items = says(_text(text, tokens, start, end), _ANYTHING)[0].items if start < end else ()
    told = bool(items) and tokens[end - 1].text not in _AT
    return told and all(isinstance(item, Reading) and not item.guessed for item in items)


def _ends_what_tells(text: str, tokens: Sequence[Token], names: Sequence[_Name], name: _Name, says: Says) -> bool:
    before = max((each.end for each in names if each.end <= name.start), default=0)
    return _tells(text, tokens, before, name.start, says)


def _said_of(
    text: str, tokens: Sequence[Token], name: _Name, before: tuple[int, int], end: int, says: Says, context: Context
) -> tuple[Meaning, ...] | None:
    """What is said of a piece by the words before its name and behind it."""
    behind = name.end
    short = behind < end and tokens[behind].start < tokens[behind - 1].end  # "piece one's"
    rest = _text(text, tokens, behind + short, end)
    lead = before[1]
    while lead > before[0] and tokens[lead - 1].text in _AT:
        lead -= 1
    first, without = _text(text, tokens, *before), _text(text, tokens, before[0], lead)
    if not first:
        verb = short or (behind < end and tokens[behind].text in _VERBS)
        it = f"it {_text(text, tokens, behind, end)}" if not short else f"it is {rest}"
        ways = [it, rest] if verb and not short else [rest, it] if verb else [rest]
    elif lead < before[1]:
        ways = [f"{first} it {rest}", f"{without} {rest}"]
    else:
        ways = [f"{first} it {rest}", f"{first} {rest}"]
    context = context if name.argument in context.in_hand else bare(context)
    found = [says(way.strip(), context) for way in ways if way.strip()]
    if not found:
        return _saying()
    meanings = min(found, key=lambda each: _left_over(each[0].items))
    best = meanings[0].items
    surely = name.argument not in (OTHER, BOTH) or (name.argument == OTHER and name.follows)
    if not surely and not all(isinstance(item, Command) and item.name not in _TELLS_NOTHING for item in best):
        return None  # "the other end is male" begins it
    told = any(isinstance(item, Reading) for item in best)
    if _left_over(best) and (first or not told):
        return None
    return meanings


def bare(context: Context) -> Context:
    """What is known before something is said of a piece that is not in hand."""
    return replace(_ANYTHING, commands=context.commands, preferred_length=context.preferred_length)


def _left_over(items: Sequence[Item]) -> int:
    lost = sum(isinstance(item, Rejection) for item in items)
    asides = sum(isinstance(item, Command) and item.name in ("aside", "repeat") for item in items)
    return lost + asides + (not items)


def _text(text: str, tokens: Sequence[Token], start: int, end: int) -> str:
    return text[tokens[start].start : tokens[end - 1].end] if start < end else ""
