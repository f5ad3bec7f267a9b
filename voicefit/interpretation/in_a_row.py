"""Of several answers in one breath, the one that is meant: "yeah, no, yeah", "no, hang on, yes, there it is".

How it works. Answers that follow on each other, or with words of repair between them, are one: the last. Two with
nothing between them stay, for they may be neither, but where something is told behind them ("yes, no, nothing in it");
and where a word of repair and more follow, none counts. So also where it is said between them why the first was wrong:
"yep, oh no, I was on the wrong side, no". And what stands beside an answer and is none of its own is left out.

Duty: this.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from voicefit.interpretation import answers
from voicefit.interpretation.chart import ARTICLES, Chart
from voicefit.interpretation.tokens import Token, word_set
from voicefit.records import Command, Context, Item, Meaning, Option, Reading

REPAIRS = ("list-edits", "list-waits")
_ANSWERS = frozenset({"yes", "no"})
_JOINTS = frozenset({"and", "but", "or"})
_DENIES = word_set("no none not nothing neither nope nowt do does doesn't don't won't")
_YES_OR_NO, _ONE = word_set("yes yeah yep yup aye no nope nah"), "one"


def last_answer(tokens: tuple[Token, ...], chart: Chart, rules: Sequence[str]) -> tuple[Token, ...]:
    """The tokens with the last of several answers in a row; none, where what follows on a word of repair is said
    instead."""
    at, starts, repairs, repaired = 0, [0], False, False
    while at < len(tokens):
        end = _answer_end(tokens, chart, at, rules)
        if end > at:
            starts.append(at)
            at, repairs, repaired = end, False, repaired or repairs
            continue
        end = min((end for rule in REPAIRS for end, _, _ in chart.match(rule, at)), default=at)
        if end == at or len(starts) == 1:
            break
        at, repairs = end, True
    goes_on = at < len(tokens)
    if len(starts) == 2 and repairs and (last := _other_at_the_end(tokens, chart, rules)):
        return (replace(tokens[last], paused=False), *tokens[last + 1 :])
    repaired = repaired or (len(starts) == 3 and goes_on and tokens[at].paused and bool(chart.match("said", at)))
    if len(starts) < 3 or (goes_on and tokens[at].text in _JOINTS) or not (repairs or repaired or len(starts) > 3):
        return tokens
    begin = at if repairs and goes_on else starts[-1]
    return (replace(tokens[begin], paused=False), *tokens[begin + 1 :])


def _other_at_the_end(tokens: tuple[Token, ...], chart: Chart, rules: Sequence[str]) -> int:
    """Where the answer begins that all ends in, if it is another than that at the beginning; 0 where none does."""
    last = max((at for at in range(1, len(tokens)) if tokens[at].paused), default=0)
    if not last or _answer_end(tokens, chart, last, rules) < len(tokens):
        return 0
    names = [{call.name for rule in rules for _, call, _ in chart.match(rule, at)} & _ANSWERS for at in (0, last)]
    return last if names[0].isdisjoint(names[1]) else 0


def _answer_end(tokens: Sequence[Token], chart: Chart, at: int, rules: Sequence[str]) -> int:
    """Where a yes or no ends that begins here and is one by itself: up to a pause, or one word before another answer or
    a word of repair, but not "no" in "no washer"; ``at`` itself where there is none."""
    calls = (match for rule in rules for match in chart.match(rule, at))
    found = {end for end, call, _ in calls if call.name in _ANSWERS and call.phrase is None}
    whole = [end for end in found if not any(token.paused for token in tokens[at + 1 : end])]
    whole = [end for end in whole if end == len(tokens) or tokens[end].paused]
    if whole or at + 1 not in found:
        return max(whole, default=at)
    goes_on = end_of(chart, REPAIRS, at + 1) > at + 1 or _answer_end(tokens, chart, at + 1, rules) > at + 1
    return at + 1 if goes_on else at


def without_what_it_is_like(tokens: tuple[Token, ...], chart: Chart, turning: Set[str]) -> tuple[Token, ...]:
    """Of an answer its yes or no alone, where behind it is only told what the thing asked for is like: "yes, a good
    wide one"; but not where that is read by itself ("a rubber one"), or holds a word that may turn it."""
    words = [token.text for token in tokens]
    first = 2 if words[1:2] and words[1] in ARTICLES else 1
    like = range(first, len(words) - 1)
    if not like or words[0] not in _YES_OR_NO or words[-1] != _ONE:
        return tokens
    told = any(words[at] in turning or chart.match("reading", at) or chart.match("bare", at) for at in like)
    return tokens if told else tokens[:1]


def end_of(chart: Chart, rules: Sequence[str], at: int) -> int:
    """Where the longest match of the rules ends that begins here; ``at`` itself where there is none."""
    if at >= len(chart):
        return at
    return max((end for rule in rules for end, _, _ in chart.match(rule, at)), default=at)


def only_answered(meaning: Meaning, context: Context) -> Meaning:
    """The meaning with a "yes" alone where a place said behind it names another of the same: "yes, under the nut"; and
    with a "no" alone right before what was asked about: "no ring bitten on". Who tried them all and names one says
    that this one fits: "eighteen, I tried all of them"."""
    if any(isinstance(item, Reading) and answers.counts(item) for item in meaning.items):
        fits = [item for item in meaning.items if not (isinstance(item, Command) and _tried_them_all(item))]
        meaning = meaning if len(fits) == len(meaning.items) else replace(meaning, items=tuple(fits))
    match meaning.items:
        case [Command(name="cannot-tell", heard=doubt), Command(name="yes" | "no", heard=answer)] if (
            f"{doubt} {answer}".casefold() in meaning.text.casefold()
        ):
            return replace(meaning, items=meaning.items[:1])  # "I can't say no"
    if context.asked is None or context.asked.negated:
        return meaning
    match meaning.items:
        case [Command(name="no", heard=no), Reading(heard=ring, options=options), *rest] if (
            f"{no} {ring}".casefold() in meaning.text.casefold()
            and all(option.value == context.asked.value and not option.negated for option in options)
        ):
            return replace(meaning, items=(meaning.items[0], *rest))
    if not isinstance(meaning.items[0], Command) or meaning.items[0].name != "yes":
        return meaning
    kept = tuple(item for item in meaning.items if not _is_another(item, context.asked))
    return replace(meaning, items=kept)


def _is_another(item: Item, asked: Option) -> bool:
    if not isinstance(item, Reading) or item.measurands != {asked.measurand}:
        return False
    return not any(option.negated or option.value == asked.value for option in item.options)


def _tried_them_all(command: Command) -> bool:
    """Whether it is only said that all were tried."""
    return command.name == "none-fits" and _DENIES.isdisjoint(command.heard.casefold().split())
