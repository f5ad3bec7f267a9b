"""How the model may write a text: "nineteen thirty-seconds" is also "19/32", "Nineteen 30 seconds." and more.

A text is spoken one way and written in many; training on a way that the old weights would never choose teaches
spelling instead of hearing. The trainer takes the form that the old weights find likeliest on the clean sound.

Duty: the forms of one text. It must not score them.
"""

from __future__ import annotations

import re

from training.figures import ONES, PARTS, TENS

_ONES = {word: number for number, word in enumerate(ONES)}
_TENS = {word: 10 * number for number, word in enumerate(TENS, 2)}
_PARTS = {name + end: part for part, name in PARTS.items() for end in ("", "s")} | {"halves": 2}
_CAPITAL = re.compile(r"\bI\b(?:'\w+)?|\b[A-Z]\w+")
_TOKEN = re.compile(r"[a-z]+(?:-[a-z]+)*(?:'[a-z]+)?|,|\S")


def forms(text: str) -> list[str]:
    """The forms, each once: words or figures, with or without commas, capital and full stop. Names keep their capitals.

    >>> forms("outside nineteen thirty-seconds")[:2]
    ['Outside nineteen thirty-seconds', 'Outside nineteen thirty-seconds.']
    >>> "Outside 19/32" in forms("outside nineteen thirty-seconds")
    True
    >>> "Came off 2 British diggers, I think" in forms("came off two British diggers, I think")
    True
    """
    capitals = {word.lower(): word for word in _CAPITAL.findall(text[1:])}  # the first has one anyway
    text = text.lower().rstrip(".!?")
    written = figures(text)
    bodies = [text, text.replace("-", " "), written, figures(text, fractions=True)]
    bodies += [joined for body in (text, written) if (joined := _letters(body, "")) != body]
    bodies += [joined for body in (text, written) if (joined := _letters(body, "-")) != body]
    if re.search(r"\d \d", written):
        bodies.append(re.sub(r"(?<=\d) (?=\d)", "", written))
    if re.search(r"millimeter|\bmils?\b", text):
        bodies += [re.sub(r" ?(millimeters?|mils?)\b", mm, written) for mm in ("mm", " mm")]
    if " by " in written:
        bodies.append(re.sub(r" by (?=\d)", " x ", written))
    if " degree" in written:
        bodies.append(re.sub(r" degrees?\b", "°", written))
    if "," in text:
        bodies += [body.replace(",", "") for body in (text, written)]
    separate = re.sub(rf"\b({'|'.join(ONES[:10])}|oh) (?=({'|'.join(ONES[:10])}|oh)\b)", r"\1, ", text)
    if separate != text:
        bodies.append(separate)
    found: list[str] = []
    for body in dict.fromkeys(bodies):
        if capitals:
            body = re.sub(r"[\w']+", lambda word: capitals.get(word[0], word[0]), body)
        capital = body[:1].upper() + body[1:]
        found += [capital, f"{capital}."]
        if len(body.split()) <= 2:
            found.append(body)
    return list(dict.fromkeys(found))


def figures(text: str, *, fractions: bool = False) -> str:
    """Number words as figures.

    >>> figures("m eighteen by one point five"), figures("three hundred and twelve"), figures("nine oh two")
    ('M18 by 1.5', '312', '9 0 2')
    """
    tokens = _TOKEN.findall(text)
    out: list[str] = []
    at = 0
    while at < len(tokens):
        number, after = _number(tokens, at)
        if number is None:
            out.append(tokens[at])
            at += 1
            continue
        at = after
        if at + 1 < len(tokens) and tokens[at] == "point" and _digit(tokens[at + 1]) is not None:
            number += "."
            at += 1
            while at < len(tokens) and (digit := _digit(tokens[at])) is not None:
                number += str(digit)
                at += 1
        if fractions and at < len(tokens) and tokens[at] in _PARTS and number.isdigit():
            number += f"/{_PARTS[tokens[at]]}"
            at += 1
        out.append(number)
    return re.sub(r"\bm (\d)", r"M\1", " ".join(out).replace(" ,", ","))


def _number(tokens: list[str], at: int) -> tuple[str | None, int]:
    """The whole number that begins at ``at`` as figures, ``""`` before a lone "point", and where it ends."""
    token = tokens[at]
    beside = [tokens[i] for i in (at - 1, at + 1) if 0 <= i < len(tokens)]
    if token == "point" and at + 1 < len(tokens) and _digit(tokens[at + 1]) is not None:
        return "", at
    if token == "oh":
        return ("0", at + 1) if any(_small(each) is not None for each in beside) else (None, at)
    number = _small(token)
    if number is None:
        return None, at
    at += 1
    for name, factor in (("hundred", 100), ("thousand", 1000)):
        if at < len(tokens) and tokens[at] == name:
            number *= factor
            at += 1
            skip = at + 1 if at + 1 < len(tokens) and tokens[at] == "and" else at
            if skip < len(tokens) and (rest := _small(tokens[skip])) is not None:
                number += rest
                at = skip + 1
    return str(number), at


def _small(token: str) -> int | None:
    tens, _, ones = token.partition("-")
    if tens in _TENS and (not ones or 0 < _ONES.get(ones, 0) < 10):
        return _TENS[tens] + _ONES.get(ones, 0)
    return _ONES.get(token)


def _digit(token: str) -> int | None:
    number = 0 if token == "oh" else _ONES.get(token)
    return number if number is not None and number < 10 else None


def _letters(text: str, between: str) -> str:
    """Letters said one by one written together: "n p t" as NPT, or N-P-T."""
    return re.sub(r"\b[a-z](?: [a-z]\b)+", lambda found: found[0].upper().replace(" ", between), text)
