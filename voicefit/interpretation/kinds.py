"""Of what kind a sentence is that no phrase takes, by a classifier of whole sentences.

How it works. A classifier gives the probability of each kind: a value of what is seen or felt ("taper=tapered"), a
command by its id, ``figure`` for a number that is to be recorded, ``unsure`` for who cannot tell, ``nothing`` for talk
beside the work, ``elsewhere`` for what is said of another part. What was asked is likelier: the values of its measurand
count so many times. A kind is taken from the probability in ``_TAKEN`` on; a value that was not asked for, or that is
not quite sure, is asked about. Whether it is denied is a probability too, and where that is in doubt nothing is taken.

Duty: this decision. It must not read the words, but whether they count and deny.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Protocol

from voicefit.interpretation.priors import of_the_ring_asked
from voicefit.records import Command, Context, KindShares, Measurand, Option, Reading, SeatForm

ASIDE, CANNOT_TELL, BEYOND = "aside", "cannot-tell", "beyond"
_BESIDE_THE_WORK = "nothing"
_NOTHING = frozenset({_BESIDE_THE_WORK, "elsewhere"})
_UNSURE, _FIGURE, _OKAY = "unsure", "figure", "okay"
_OF_THE_BODY = frozenset({"injected", "hurt", "in-the-eye", "burnt"})  # they send people to a doctor
_USES = frozenset({"breathing-air", "gas-line", "brake-line", "steering-line", "lifting-people"})  # that are refused
_ASKED = 4.0  # so many times likelier is what was asked for
_TAKEN = {"nothing": 0.6, "counting": 0.85, "unsure": 0.5, "value": 0.6, "command": 0.55, "question": 0.2, "alarm": 0.8}
_NO_ALARM, _SURELY_ELSE = 0.05, 0.5  # of all alarms together; of what it is instead
_SHORT, _SURE_OF_SHORT = 3, 0.8  # of fewer words one must be surer
_SURE = 0.7  # of a value that was asked for: it is not asked about
_IS_SO, _IS_NOT = 0.1, 0.9  # of what is denied
_SURE_OF_COUNTRY = 0.85
_SAID_BY_DENYING = frozenset({Measurand.BODY, Measurand.TAPER, Measurand.NOSE})  # "it will not come away": a housing
_OF_NUMBERS = frozenset({Measurand.REINFORCEMENT, Measurand.SHAPE})  # "two wire", "four bolts"


class SentenceClassifier(Protocol):
    """What tells the kinds of sentences apart."""

    def of(self, text: str) -> KindShares: ...


@dataclass(frozen=True, slots=True)
class Said:
    """What is known of a sentence beside its likeness: whether it has numbers, or a word that moves its meaning to
    another thing; how many words of denial, and how many words in all."""

    counts: bool
    turns: bool
    denials: int
    words: int


def nothing(likeness: KindShares) -> float:
    """The probability that nothing is to be recorded of it."""
    return sum(likeness.shares.get(kind, 0.0) for kind in _NOTHING)


def beside_the_work(likeness: KindShares) -> float:
    """The probability that it is not of the work at all."""
    return likeness.shares.get(_BESIDE_THE_WORK, 0.0)


def unsure(likeness: KindShares) -> float:
    """The probability that one says that one cannot tell."""
    return likeness.shares.get(_UNSURE, 0.0)


def of_commands(likeness: KindShares, commands: Set[str]) -> float:
    """The probability that one of these is called."""
    return sum(likeness.shares.get(command, 0.0) for command in commands)


def likeliest_told(likeness: KindShares, but: Set[str] = frozenset()) -> float:
    """The probability of the likeliest thing that is said of an end, ``but`` of some measurands."""
    told = (
        share
        for kind, share in likeness.shares.items()
        if kind == _FIGURE or ("=" in kind and kind.partition("=")[0] not in but)
    )
    return max(told, default=0.0)


class Kinds:
    """The decisions about one language. ``commands`` : those that may be called so, none that costs anything;
    ``urgent`` : of those, the alarms."""

    def __init__(self, commands: Set[str], urgent: Set[str] = frozenset()) -> None:
        self._commands, self._urgent = commands, urgent

    def is_false_alarm(self, commands: Set[str], likeness: KindShares) -> bool:
        """Whether words of somebody's hurt stand in a sentence that surely says something else: "in foot pounds if you
        got it". Talk is no such thing: who is hurt must not go unheard; and an alarm about a machine costs little."""
        kind = max(likeness.shares, key=lambda each: likeness.shares[each])
        rings = sum(likeness.shares.get(each, 0.0) for each in self._urgent)
        sure = likeness.shares[kind] >= _SURELY_ELSE and kind not in {*_NOTHING, _UNSURE}
        return commands <= _OF_THE_BODY and rings < _NO_ALARM and sure

    def use(self, likeness: KindShares) -> str | None:
        """The use that is refused, if it is surely said to be for one, whatever else is said."""
        use = max(_USES, key=lambda each: likeness.shares.get(each, 0.0))
        sure = likeness.shares.get(use, 0.0) >= _SURELY_ELSE and likeness.denied <= _IS_SO
        return use if sure and use in self._commands else None

    def is_denied(self, command: str, likeness: KindShares) -> bool:
        """Whether a use that is refused is said not to be that: "no, it's not steering"."""
        likely = likeness.shares.get(command, 0.0) >= _TAKEN["command"]
        return command in _USES and likely and likeness.denied >= _IS_NOT

    def question(self, text: str, likeness: KindShares, said: Said) -> Command | None:
        """What a question calls: the likeliest command, or what says that this cannot be answered; of one with numbers
        nothing, where that is not clear: it may be a reading that was misheard."""
        asked = {kind: share for kind, share in likeness.shares.items() if kind in self._commands}
        kind = max(asked, key=lambda each: asked[each])
        if said.counts and asked[kind] < _TAKEN["command"]:
            return None
        if kind in self._urgent - _OF_THE_BODY and asked[kind] < _TAKEN["command"]:
            return Command(BEYOND, text)  # who asks whether it is dangerous is in no danger yet; who is hurt may ask
        return Command(kind if asked[kind] >= _TAKEN["question"] else BEYOND, text)

    def item(self, text: str, likeness: KindShares, said: Said, context: Context) -> Command | Reading | None:
        """What is taken of a sentence, or ``None``: an aside, a command or a reading."""
        shares = _as_asked(likeness.shares, context)
        if said.words == 1 and nothing(likeness) > 0.5:
            return None  # a lone word that no phrase has is named, not passed over
        least = {what: max(share, _SURE_OF_SHORT) if said.words < _SHORT else share for what, share in _TAKEN.items()}
        if sum(shares.get(kind, 0.0) for kind in _NOTHING) >= least["counting" if said.counts else "nothing"]:
            return Command(ASIDE, text)
        kind = max(shares, key=lambda each: shares[each])
        if "=" in kind:
            if shares[kind] < least["value"]:
                return None
            if kind.partition("=")[0] == Measurand.BODY and Measurand.BODY not in context.expected:
                return Command(ASIDE, text)  # nobody asked whether it comes off, and hardly anything follows from it
            return _reading(text, kind, shares[kind], likeness.denied, said, context)
        if kind == _UNSURE and shares[kind] >= least["unsure"]:
            if said.counts and not context.expected:
                return None  # two leaves that both fit are no reading, and to be named
            return Command(CANNOT_TELL if context.expected else ASIDE, text)
        if kind in ("yes", "no") and not context.yes_no:
            agrees = kind == "yes" and said.words == 1 and shares[kind] + shares.get(_OKAY, 0.0) >= _SURE_OF_SHORT
            return Command(_OKAY, text) if agrees else None
        if kind not in self._commands or shares[kind] < least["alarm" if kind in self._urgent else "command"]:
            return None
        return Command(ASIDE if likeness.denied >= _IS_NOT else kind, text)


def _reading(text: str, kind: str, share: float, denied: float, said: Said, context: Context) -> Reading | None:
    name, _, value = kind.partition("=")
    measurand = Measurand(name)
    if measurand is Measurand.COUNTRY and said.words < _SHORT and share < _SURE_OF_COUNTRY:
        return None  # the names of countries are phrases; of a word or two that is none, any sounds like some country
    uncertain = said.turns or said.denials > 1 or _IS_SO < denied < _IS_NOT
    if uncertain or (said.counts and measurand not in _OF_NUMBERS):
        return None
    negated = denied >= _IS_NOT
    if negated != bool(said.denials) and value != SeatForm.NONE and measurand not in _SAID_BY_DENYING:
        return None
    sure = measurand in context.expected and share >= _SURE and negated == bool(said.denials)
    return of_the_ring_asked(Reading(text, (Option(measurand, value, negated=negated),), guessed=not sure), context)


def _as_asked(shares: Mapping[str, float], context: Context) -> dict[str, float]:
    """The probabilities of the kinds where something was asked: Bayes' rule with a prior that favours what answers."""
    expected: Sequence[str] = [measurand.value for measurand in context.expected]
    weighed = {
        kind: share * (_ASKED if kind.partition("=")[0] in expected or (kind == _UNSURE and expected) else 1.0)
        for kind, share in shares.items()
    }
    total = sum(weighed.values())
    return {kind: share / total for kind, share in weighed.items()}
