"""What one says of the machine that a piece came off, and where on it: "off the milking parlour", "on the back of the
tractor", "from a Japanese rice harvester".

How it works. No list has all machines and their parts. But such words stand behind the piece, after "off a", "from the"
or "on my", up to a pause; or they are a clause of their own that begins with a country: "German cultivator". They are
cut out where they hold no number, no word that turns a meaning, nothing that is read by itself, and do not end in a
part of an end, of which they would tell something: "at the bottom of the thread"; nor right behind a number, which is
of that place: "number four on the rail". The country is kept: it tells of the threads.

Duty: these cuts. It must not decide whether what is left is better understood
(:mod:`voicefit.interpretation.language`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass, replace

from voicefit.interpretation.chart import ARTICLES, Chart
from voicefit.interpretation.spoiling import ELSEWHERE
from voicefit.interpretation.tokens import Token, word_set
from voicefit.records import Measurand, Reading

_FROM = word_set("off from on in under behind")  # "on the back of" is "behind" by then
_CAME = frozenset({"off", "from"})
_OUT, _OF, _WHERE = "out", "of", "where"  # "out of the pump", "the hole where the elbow sat"
_WHOSE = frozenset({*ARTICLES, *word_set("my our his her their your this that some")})
_ONES = frozenset({"one", "ones"})
_AGE = word_set("old big little small new ancient large")
_JOINS = word_set("and but with without which that who is are has had it there so because having where no not")
_MOST = 6  # words behind "off the"
_OF_AN_END = word_set(
    "thread threads crest crests root roots face faces cone seat nose mouth bore groove end ends front back tip rim "
    "lip shoulder hex hexagon flat flats base bottom top middle inside outside side sides edge edges head ring rings "
    "hole holes body point chamfer bevel collar flare flange washer seal rubber tube pipe hose nut bolt stud male "
    "female port fitting fittings adapter elbow tee union swivel gauge leaf caliper jaws taper thing things one ones "
    "way metal book catalogue catalog drawing list tag label manual sheet"
)
_UNITS = word_set("inch inches millimeter millimeters mil mm degree degrees")  # "fifteen on the rail" is the rail's
_TELLS_OF_THE_MACHINE = frozenset({Measurand.COUNTRY, Measurand.BODY, Measurand.LINE})


@dataclass(frozen=True, slots=True)
class Whence:
    """``rests`` : the text without the word of the country, without each of those places and without all of them;
    ``origin`` : the country, as readings of the words of its machine."""

    rests: tuple[str, ...]
    origin: tuple[Reading, ...]


def cut(
    text: str,
    tokens: Sequence[Token],
    chart: Chart,
    turning: Set[str],
    country_of: Callable[[str], Reading | None],
) -> Whence | None:
    """The text without such words; ``None`` where there are none, or nothing else. ``turning`` : numbers, and words
    that turn a meaning; ``country_of`` : what an adjective says of where a machine was built."""
    runs: list[tuple[int, int]] = []
    built: list[tuple[int, int]] = []
    origin: list[Reading] = []
    at = 0
    while at < len(tokens):
        found = _run(tokens, at, country_of)
        if found is None:
            at += 1
            continue
        first, end, country = found
        if _is_of_that(tokens[:at], turning) or not _is_of_a_machine(
            tokens[first:end], chart, first, turning, built=country is not None
        ):
            at += 1
            continue
        runs.append((at, end))
        built += [(first, first + 1)] if country else []
        origin += [replace(country, heard=text[tokens[first].start : tokens[end - 1].end])] if country else []
        at = end
    if not runs or sum(end - start for start, end in runs) == len(tokens):
        return None
    cuts = [built, *([run] for run in runs), runs]
    rests = dict.fromkeys(_without(text, tokens, cut_out) for cut_out in cuts if cut_out)
    return Whence(tuple(rests), tuple(origin))


def _without(text: str, tokens: Sequence[Token], runs: Sequence[tuple[int, int]]) -> str:
    for start, end in reversed(runs):
        text = text[: tokens[start].start].rstrip() + text[tokens[end - 1].end :]
    return text.strip(" ,;")


def _run(
    tokens: Sequence[Token], at: int, country_of: Callable[[str], Reading | None]
) -> tuple[int, int, Reading | None] | None:
    """Where the words of the machine begin and end, if "off the" or a clause of a machine begins at a token; and the
    country."""
    words = [token.text for token in tokens]
    first = at
    if at and words[at] in _FROM:
        first = at + 1
    elif at and words[at] == _OUT and words[at + 1 : at + 2] == [_OF]:
        first = at + 2
    elif at and words[at] == _WHERE and not tokens[at].paused:
        first = at + 1
    behind = first > at
    if not behind and at and not tokens[at].paused:
        return None
    named = first
    while named < len(tokens) and words[named] in (_WHOSE if named == first else _AGE):
        named += 1
    if behind and named == first:
        return None
    if named == len(tokens) or any(token.paused for token in tokens[at + 1 : named + 1]):
        return None
    end = next(
        (e for e in range(named + 1, len(tokens)) if tokens[e].paused or words[e] in _JOINS),
        len(tokens),
    )
    country = country_of(words[named])
    if not behind and (country is None or end == named + 1):
        return None
    lies = behind and words[at] not in _CAME and words[end - 1] in ELSEWHERE  # "an o-ring on the ground"
    return (named, end, country) if end - named <= _MOST and not lies else None


def _is_of_that(before: Sequence[Token], turning: Set[str]) -> bool:
    """Whether the last word is one of a number, or the "ones" that are told from others by that place; but not the
    "one" by which a thing is called: "a tapered one"."""
    if not before:
        return False
    last, named = before[-1].text, before[-2].text if len(before) > 1 else ""
    if last in _ONES and named in _WHOSE | {"those", "these"}:
        return True
    return last in turning | _UNITS and not (last in _ONES and named and named not in turning)


def _is_of_a_machine(run: Sequence[Token], chart: Chart, start: int, turning: Set[str], *, built: bool) -> bool:
    """Whether words tell of nothing but a machine; ``built`` : the first says where, and may name threads elsewhere."""
    words = [token.text for token in run]
    if words[-1] in _OF_AN_END or any(not word.isalpha() or word in turning for word in words):
        return False
    for at in range(start + built, start + len(run)):
        if any(chart.match("list-others", at)):
            return False
        for _, phrase, _ in chart.match("reading", at):
            items = [item for item in phrase.items if isinstance(item, Reading)]
            if any(not item.measurands <= _TELLS_OF_THE_MACHINE for item in items):
                return False
    return True
