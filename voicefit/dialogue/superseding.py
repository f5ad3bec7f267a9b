"""Readings in whose place new ones come though nobody said so: a hose's one length, a guess, a denial.

What was denied and is now said itself, "nineteen fits" behind "not nineteen", was denied in error: the denial goes, and
that is said. An answer yes or no to a check takes none away: it is a look of its own.

What is read anew because it did not go together with the rest stands beside what was read first: which of the two is
the slip, the matcher weighs. To drop the first cost half a per cent of the right answers of simulated jobs.

Duty: which ones, and saying so. What a person corrects is for :mod:`voicefit.dialogue.corrections`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from voicefit.dialogue import hoses
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import HOSE, Kept, Piece
from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity
from voicefit.records import Meaning, Measurand, Option, Reading, Seal

_SHORT = 100
_AS_WELL = 0.1  # nats between what is as likely
_ABOUT = 20  # times as long: no hose is said so again in its old unit


def outdated(turn: Turn, readings: tuple[Reading, ...]) -> tuple[int, ...]:
    """Readings in whose place others come. It is said.

    Of a hose: it has one length, and temperatures from and to. Of an end: what was a guess. Of either: what was denied.
    """
    denials = _denials(turn, readings)
    if denials:
        say_instead(turn, denials, readings)
    gone = tuple(kept.number for kept in denials)
    return (*gone, *(number for number in _said_before(turn, readings) if number not in gone))


def _said_before(turn: Turn, readings: tuple[Reading, ...]) -> tuple[int, ...]:
    if turn.piece.kind != HOSE:
        return _guesses(turn, readings)
    new = {reading.measurands: reading for reading in readings if reading.measurands <= hoses.ONE_VALUE}
    taken = dict(zip((kept.number for kept in turn.piece.readings), turn.belief.taken, strict=True))
    old = [kept for kept in turn.piece.readings if kept.reading.measurands in new]
    wording = turn.knowledge.wording
    words = [
        wording.reading(taken[kept.number].option)
        for kept in old
        if kept.reading.options[0].value != new[kept.reading.measurands].options[0].value
    ]
    if words and not turn.settings.short:
        turn.say("instead-of", old=", ".join(words))
    return tuple(kept.number for kept in old)


def to_weigh_on(turn: Turn, meanings: Sequence[Meaning]) -> Piece:
    """The piece in hand without the readings that what was said denies, or says after all: they are not against it."""
    best = max(meanings, key=lambda meaning: meaning.log_weight)
    said = [option for reading in readings_of(best) for option in reading.options]
    taken = zip(turn.piece.readings, turn.belief.taken, strict=True)
    kept = tuple(
        kept for kept, t in taken if not (_is_denied(t.option, said) or any(_is_denied(o, [t.option]) for o in said))
    )
    return replace(turn.piece, readings=kept)


def say_instead(turn: Turn, gone: Sequence[Kept], readings: Sequence[Reading]) -> None:
    """Say in whose place readings come; of one value that was denied and is so after all, that it is."""
    if turn.settings.short or not gone:
        return
    taken = dict(zip((kept.number for kept in turn.piece.readings), turn.belief.taken, strict=True))
    old = [taken[kept.number].option for kept in gone]
    if len(readings) == 1 and any(_is_denied(o, old) for o in readings[0].options):
        turn.say("after-all")
    else:
        turn.say("instead-of", old=", ".join(map(turn.knowledge.wording.reading, old)))


def _denials(turn: Turn, readings: tuple[Reading, ...]) -> list[Kept]:
    """What denies just what a reading now says, and surely: of a cone, either way, only if both were denied."""
    taken = [(k, t.option) for k, t in zip(turn.piece.readings, turn.belief.taken, strict=True) if t.option.negated]
    denied = [option for _, option in taken]
    gone: list[Kept] = []
    for reading in readings:
        if reading.asked is not None or not any(_is_denied(option, denied) for option in reading.options):
            continue
        said = _likeliest(
            turn, reading, [kept for kept, option in taken if any(_is_denied(o, [option]) for o in reading.options)]
        )
        if all(o.certainty == 1.0 and _is_denied(o, denied) for o in said):
            gone += [kept for kept, option in taken if any(_is_denied(o, [option]) for o in said)]
    return gone


def _is_denied(option: Option, denied: Sequence[Option]) -> bool:
    mine = option.measurand, worth(option)
    return not option.negated and any(o.negated and (o.measurand, worth(o)) == mine for o in denied)


def _likeliest(turn: Turn, reading: Reading, without: Sequence[Kept]) -> list[Option]:
    """What it may as well be as anything, were what denies it not on record: "eighteen" is a pitch, where the diameter
    is known to be another."""
    piece = replace(turn.piece, readings=tuple(kept for kept in turn.piece.readings if kept not in without))
    fits = turn.knowledge.log_fits(piece, [(replace(reading, options=(option,)),) for option in reading.options])
    weights = {option: option.log_prior + fit for option, fit in zip(reading.options, fits, strict=True)}
    measurand = max(weights, key=lambda option: weights[option]).measurand
    alike = [option for option in reading.options if option.measurand is measurand]
    best = max(option.log_prior for option in alike)
    return [option for option in alike if option.log_prior >= best - _AS_WELL]


def in_its_unit(turn: Turn, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """The readings with the length of a hose, said without a unit, in the unit of the one that it takes the place of,
    where that makes a hose of much the same length: "make it two point six", after metres."""
    old = [taken.option for taken in turn.belief.taken if _is_a_length(taken.option)]
    if not old or turn.piece.kind != HOSE:
        return readings
    value = old[-1].value
    assert isinstance(value, Quantity)

    def one(reading: Reading) -> Reading:
        said = reading.options[0].value
        if (
            not _is_plain_length(turn, reading)
            or not isinstance(said, Quantity)
            or not 1 / _ABOUT < said.value / value.value < _ABOUT
        ):
            return reading
        return replace(
            reading, options=tuple(replace(o, value=replace(said, unit=value.unit)) for o in reading.options)
        )

    return tuple(map(one, readings))


def of_one_length(turn: Turn, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """The readings with no more than one length of a hose: the last; that another was not taken is said."""
    lengths = [reading for reading in readings if reading.measurands == {Measurand.LENGTH}]
    if turn.piece.kind != HOSE:
        return readings
    last = {worth(option) for reading in lengths[-1:] for option in reading.options}
    others = [each for each in lengths[:-1] if last.isdisjoint(map(worth, each.options))]
    if others:
        turn.say("not-taken", words=", ".join(each.heard for each in others))
    return tuple(reading for reading in readings if reading not in lengths[:-1])


def is_doubtful(turn: Turn, reading: Reading) -> bool:
    """Whether a length was said over without its hundreds and its unit: "fifteen hundred, no, sixteen"."""
    said = reading.options[0].value
    over = re.search(r"\b(hundred|thousand)\b.*\bno\b", reading.heard.casefold())
    short = isinstance(said, Quantity) and said.value < _SHORT
    return bool(over) and short and _is_plain_length(turn, reading)


def _is_plain_length(turn: Turn, reading: Reading) -> bool:
    return reading.measurands == {Measurand.LENGTH} and not turn.knowledge.language.says_a_unit(reading.heard)


def _is_a_length(option: Option) -> bool:
    return option.measurand is Measurand.LENGTH and isinstance(option.value, Quantity) and not option.negated


def _guesses(turn: Turn, readings: tuple[Reading, ...]) -> tuple[int, ...]:
    """What was a guess, where a reading of the same comes."""
    new = {worth(option) for reading in readings for option in reading.options if not option.negated}
    taken = [(kept, each.option) for kept, each in zip(turn.piece.readings, turn.belief.taken, strict=True)]
    old = [(kept.number, option) for kept, option in taken if _is_a_guess_of(option, readings)]
    other = [option for _, option in old if worth(option) not in new]
    if other and not turn.settings.short:
        turn.say("instead-of", old=", ".join(map(turn.knowledge.wording.reading, other)))
    kinds = [kept.number for kept, option in taken if option.measurand is Measurand.SEALED_BY]
    return tuple(number for number, _ in old) + tuple(kinds if any(map(_denies_a_washer, readings)) else ())


def _denies_a_washer(reading: Reading) -> bool:
    """Whether there is no washer: then what kind it was, said before, is none either."""
    return all(option.negated and option.value == Seal.WASHER for option in reading.options)


def _is_a_guess_of(old: Option, readings: tuple[Reading, ...]) -> bool:
    """Whether it was said only perhaps, and one of the readings surely says the same or another: "forty-five" after
    "call it thirty-seven"."""
    new = (reading.options[0] for reading in readings)
    return old.certainty < 1.0 and any(
        o.measurand == old.measurand and o.certainty == 1.0 and not (o.negated or old.negated or o.hedge) for o in new
    )


def worth(option: Option) -> object:
    """The value, however finely it was said: seventeen and a half is seventeen point five."""
    value = option.value
    return value if isinstance(value, str) else value.mm if value.is_length else (value.value, value.unit)
