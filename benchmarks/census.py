"""The spoken language of the human corpus: control words, numbers of all kinds, dates of birth.

Duty: a :class:`~voicefit.recognition.protocol.SpokenLanguage` for the hearing benchmark, with the questions that the
corpus' speakers answered (house number, postal code, telephone, date of birth, control words) as contexts. It lives
with the benchmark because nobody says these things to voicefit.

The meaning of a text is its flattened form: digits run together, control words as they are. "Nineteen twenty-eight",
"19 28" and "one nine two eight" are one meaning.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from voicefit.records import Command, Context, Meaning

UNITS = {
    word: value
    for value, word in enumerate(["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"])
} | {"oh": 0}
TEENS = {
    word: 10 + value
    for value, word in enumerate(
        ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
    )
}
TENS = {
    word: 10 * value
    for value, word in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)
}
MONTHS = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
]
_UNIT_ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"]
_TEEN_ORDINALS = [
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
]
ORDINALS = (
    {word: value for value, word in enumerate(_UNIT_ORDINALS + _TEEN_ORDINALS, 1)}
    | {"twentieth": 20, "thirtieth": 30, "thirty first": 31}
    | {f"twenty {word}": 20 + value for value, word in enumerate(_UNIT_ORDINALS, 1)}
)
CONTROLS = ["yes", "no", "go", "stop", "start", "help", "repeat", "erase", "rubout", "enter"]
QUESTIONS = ("control", "house", "postal", "telephone", "birth")
_OUTSIDE = -4.0  # log prior of an answer that does not fit the question: common practice, no source
_FITS = {
    "control": re.compile(r"(yes|no|go|stop|start|help|repeat|erase|rubout|enter \d{1,4})"),
    "house": re.compile(r"\d{1,5}"),
    "postal": re.compile(r"\d{5}"),
    "telephone": re.compile(r"\d{4}|\d{7}|\d{10}"),
    "birth": re.compile(
        rf"(0?[1-9]|1[0-2])(0?[1-9]|[12]\d|3[01])(19)?\d\d|({'|'.join(MONTHS)}) ([1-9]|[12]\d|3[01]) (19)?\d\d"
    ),
}


def context_of(question: str) -> Context:
    """The context in which ``question`` (one of :data:`QUESTIONS`) is open."""
    return Context(commands=frozenset({question}))


def flatten(text: str) -> str:
    """The meaning of a text, written or spelled.

    >>> flatten("four thousand eight hundred eighty three"), flatten("twelve 9 of sixty"), flatten("enter 60 1")
    ('4883', '12960', 'enter 601')
    >>> flatten("ninth of september nineteen sixty four"), flatten("may twenty first 1960")
    ('september 9 1964', 'may 21 1960')
    """
    words = [word for word in re.sub(r"[-,.:/]", " ", text.lower()).split() if word not in ("of", "and", "the")]
    pieces = list(_pieces(words))
    months = [place for place, piece in enumerate(pieces) if piece in MONTHS]
    if months:
        month = months[0]
        day_first = month > 0
        day = pieces[month - 1] if day_first else (pieces[1] if len(pieces) > 1 else "")
        rest = pieces[month + 1 :] if day_first else pieces[2:]
        return f"{pieces[month]} {day} {''.join(rest)}".strip()
    out = ""
    for piece in pieces:
        out += piece if piece.isdigit() and (not out or out[-1].isdigit()) else f" {piece}"
    return out.strip()


def _pieces(words: list[str]) -> Iterator[str]:
    at = 0
    while at < len(words):
        word = words[at]
        two = " ".join(words[at : at + 2])
        if two in ORDINALS:
            yield str(ORDINALS[two])
            at += 2
        elif word in ORDINALS:
            yield str(ORDINALS[word])
            at += 1
        elif written := re.fullmatch(r"(\d+)(st|nd|rd|th)", word):
            yield written[1]
            at += 1
        elif word in UNITS or word in TEENS or word in TENS or word.isdigit():
            digits, at = _cardinal(words, at)
            yield digits
        else:
            yield word
            at += 1


def _small(words: list[str], at: int) -> tuple[int | None, int]:
    """A number below a hundred from ``at``, and where it ends."""
    word = words[at] if at < len(words) else ""
    if word in TENS:
        following = UNITS.get(words[at + 1], 0) if at + 1 < len(words) and words[at + 1] not in ("oh", "zero") else 0
        return TENS[word] + following, at + 1 + (following > 0)
    value = UNITS.get(word, TEENS.get(word))
    return (None, at) if value is None else (value, at + 1)


def _cardinal(words: list[str], at: int) -> tuple[str, int]:
    small: int | None
    if words[at].isdigit():
        value, end = int(words[at]), at + 1
        if end >= len(words) or words[end] not in ("hundred", "thousand"):
            return words[at], end
    else:
        small, end = _small(words, at)
        value = small or 0
    if end < len(words) and words[end] == "thousand":
        rest, after = _below_thousand(words, end + 1)
        return str(value * 1000 + rest), after
    if end < len(words) and words[end] == "hundred":
        small, after = _small(words, end + 1)
        return str(value * 100 + (small or 0)), after
    return str(value), end


def _below_thousand(words: list[str], at: int) -> tuple[int, int]:
    value, end = _small(words, at)
    if value is None:
        return 0, at
    if end < len(words) and words[end] == "hundred":
        rest, after = _small(words, end + 1)
        return value * 100 + (rest or 0), after
    return value, end


def _any(words: Sequence[str]) -> str:
    return " | ".join(f'"{word}"' for word in words)


_COMMON = f"""
_sep: " "?
digit: {_any(list(UNITS))} | /[0-9]/
nonzero: {_any([word for word, value in UNITS.items() if value])} | /[1-9]/
teen: {_any(list(TEENS))}
tens: {_any(list(TENS))}
pair: teen | tens | tens _sep nonzero
month: {_any(MONTHS)}
ordinal: {_any([word for word in ORDINALS if " " not in word])}
    | "twenty" _sep unit_ordinal | "thirty" _sep "first" | /[0-9]/ /[0-9]/? suffix
unit_ordinal: {_any(_UNIT_ORDINALS)}
suffix: "st" | "nd" | "rd" | "th"
thousands: nonzero _sep "thousand" (_sep hundreds | _sep pair | _sep nonzero)?
hundreds: nonzero _sep "hundred" (_sep "and")? (_sep pair | _sep nonzero)?
s1: digit
s2: digit _sep s1 | pair
""" + "\n".join(f"s{n}: digit _sep s{n - 1} | pair _sep s{n - 2}" for n in range(3, 11))
_LOOP = """
part: digit | pair | thousands | hundreds | "and" | "of"
loop: part (_sep part)*
"""
_NUMBERS = f'start: control | ("enter" _sep)? loop\ncontrol: {_any(CONTROLS)}\n{_COMMON}\n{_LOOP}'
_DATES = (
    'start: month _sep day _sep year | day _sep ("of" _sep)? month _sep year | loop\n'
    f'day: ordinal | s1 | s2 | "the" _sep ordinal\nyear: s2 | s4\n{_COMMON}\n{_LOOP}'
)
_TIGHT = {
    "control": f'control | "enter" _sep (s1 | s2 | s3 | s4 | thousands | hundreds)\ncontrol: {_any(CONTROLS)}',
    "house": "s1 | s2 | s3 | s4 | s5 | thousands | hundreds",
    "postal": "s5",
    "telephone": "s4 | s7 | s10",
    "birth": 'month _sep day _sep year | day _sep ("of" _sep)? month _sep year'
    ' | numeric_month _sep numeric_day _sep ("of" _sep)? year\n'
    "day: ordinal | s1 | s2\n"
    'numeric_month: digit | "ten" | "eleven" | "twelve" | /[01]/ _sep digit | zero _sep digit | "one" _sep digit\n'
    "numeric_day: digit | pair | zero _sep digit | /[0-3]/ digit | low _sep digit\n"
    'zero: "oh" | "zero"\nlow: "one" | "two" | "three"\nyear: s2 | s4',
}


class Census:
    """``grammar``: ``numbers`` (the loop with the control words) or ``dates`` (dates, or the loop)."""

    def __init__(self, grammar: str) -> None:
        self._full = {"numbers": _NUMBERS, "dates": _DATES}[grammar]

    def constraint(self, context: Context) -> str:
        for question in context.commands:
            return f"start: {_TIGHT[question]}\n{_COMMON}"
        return self._full

    def interpret(self, text: str, context: Context) -> tuple[Meaning, ...]:
        return (Meaning(text, (Command(flatten(text), text),), 0.0),)

    def log_prior(self, meaning: Meaning, context: Context) -> float:
        (command,) = meaning.items
        assert isinstance(command, Command)
        fits = all(_FITS[question].fullmatch(command.name) for question in context.commands)
        return 0.0 if fits else _OUTSIDE

    def takes_freely(self, meaning: Meaning) -> bool:
        return False

    def vocabulary(self) -> frozenset[str]:
        return frozenset(re.findall(r'"([a-z]+)"', self._full))
