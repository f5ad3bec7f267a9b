"""What the tool says of a reading, said back to it, is the same reading: positive, negated, loosely said, corrected."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.dialogue.talk import knowledge_of_the_project
from voicefit.dialogue import Knowledge
from voicefit.interpretation.grammar import CATEGORIES
from voicefit.interpretation.turning import between
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Context, Hedge, Measurand, Option, Reading

HOSE = frozenset({Measurand.HOSE_TYPE, Measurand.REINFORCEMENT})
SIZES = (Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER, Measurand.HEX, Measurand.TUBE_OUTSIDE_DIAMETER)
LEAST_TUBE_MM, GREATEST_TUBE_MM = 3, 63
LEAVES_TPI = ("8", "11", "23/2", "14", "18", "19", "28")
LEAVES_MM = ("1", "5/4", "3/2", "7/4", "2")
ANGLES_DEG = ("12", "24", "30", "37", "45", "60", "74", "90")


@cache
def known() -> Knowledge:
    """Kept here and not a fixture: its repr would be printed with every example."""
    return knowledge_of_the_project()


def names() -> list[Option]:
    """Every name that a reading may carry."""
    found = [Option(measurand, str(value)) for measurand, values in CATEGORIES.items() for value in values]
    for key in known().wording.values:
        kind, _, value = key.partition(".")
        if kind in ("reinforcement", "country", "series", "hose_type"):
            found.append(Option(Measurand(kind), value))
    found += [Option(Measurand.THREAD_SYSTEM, each) for each in ("G", "R", "NPT", "NPTF", "NPSM", "UN", "M")]
    return found


def heard_back(text: str, measurand: Measurand) -> Reading:
    """The reading, or the one that a correction carries, that is all of the likeliest meaning."""
    context = Context(expected=(measurand,) if measurand in HOSE else ())
    best = known().language.interpret(text, context)[0]
    item = best.items[0]
    if len(best.items) > 1:  # a name of several things: each of them is denied
        options = tuple(o for each in best.items if isinstance(each, Reading) for o in each.options)
        assert all(o.negated for o in options) and len(options) >= len(best.items), (text, best)
        return Reading(text, options)
    if isinstance(item, Command):
        assert item.name == "correct" and len(item.readings) == 1, (text, best)
        item = item.readings[0]
    assert isinstance(item, Reading), (text, best)
    return item


def same(option: Option, text: str) -> None:
    options = heard_back(text, option.measurand).options
    alike = [
        o for o in options if (o.measurand, o.negated, o.hedge) == (option.measurand, option.negated, option.hedge)
    ]
    values = {(o.value.value, o.value.unit) if isinstance(o.value, Quantity) else o.value for o in alike}
    wanted = option.value
    assert ((wanted.value, wanted.unit) if isinstance(wanted, Quantity) else wanted) in values, (text, options)


@pytest.mark.parametrize("negated", [False, True])
@pytest.mark.parametrize("hedge", [None, Hedge.PERHAPS])
def test_names(negated: bool, hedge: Hedge | None) -> None:
    wrong = []
    for option in names():
        option = replace(option, negated=negated, hedge=hedge)
        words = known().wording.reading(option)
        for text in (words,) if negated or hedge else (words, f"{words[:1].upper()}{words[1:]}."):
            try:
                same(option, text)
            except AssertionError as error:
                wrong.append((option.measurand.value, option.value, str(error)[:160]))
    assert not wrong, "\n".join(map(str, wrong))


quantities = st.one_of(
    st.builds(
        lambda top, bottom: Quantity(Fraction(top, bottom), Unit.INCH, Fraction(1, bottom)),
        st.integers(13, 74).map(lambda n: 2 * n + 1),
        st.just(64),
    ),
    st.builds(
        lambda tenths: Quantity(Fraction(tenths, 10), Unit.MILLIMETRE, Fraction(1, 10)), st.integers(60, 400)
    ),
    st.builds(
        lambda thou: Quantity(Fraction(thou, 1000), Unit.INCH, Fraction(1, 1000)), st.integers(250, 1990)
    ),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(
    measurand=st.sampled_from(SIZES),
    value=quantities,
    hedge=st.sampled_from([None, Hedge.ABOUT, Hedge.UNDER, Hedge.OVER, Hedge.PERHAPS]),
    negated=st.booleans(),
    start=st.sampled_from(["", "no, ", "sorry, "]),
)
def test_sizes(measurand: Measurand, value: Quantity, hedge: Hedge | None, negated: bool, start: str) -> None:
    """Negated, loosely said, or said again to correct; not all at once."""
    assume(measurand is not Measurand.TUBE_OUTSIDE_DIAMETER or GREATEST_TUBE_MM >= value.mm >= LEAST_TUBE_MM)
    negated = negated and hedge is None and not start
    option = Option(measurand, value, negated=negated, hedge=hedge)
    same(option, start + known().wording.reading(option))


@pytest.mark.parametrize("hedge", [None, Hedge.ABOUT, Hedge.PERHAPS])
@pytest.mark.parametrize("negated", [False, True])
def test_leaves_and_angles(negated: bool, hedge: Hedge | None) -> None:
    if negated and hedge is not None:
        return
    every = [(Measurand.PITCH, Quantity(Fraction(leaf), Unit.THREADS_PER_INCH)) for leaf in LEAVES_TPI]
    every += [(Measurand.PITCH, Quantity(Fraction(leaf), Unit.MILLIMETRE)) for leaf in LEAVES_MM]
    every += [(Measurand.SEAT_ANGLE, Quantity(Fraction(angle), Unit.DEGREE)) for angle in ANGLES_DEG]
    for measurand, value in every:
        option = Option(measurand, value, negated=negated, hedge=hedge)
        same(option, known().wording.reading(option))


@pytest.mark.parametrize(
    ("measurand", "unit", "low", "high"),
    [
        (Measurand.PITCH, Unit.THREADS_PER_INCH, "18", "19"),
        (Measurand.PITCH, Unit.MILLIMETRE, "3/2", "7/4"),
        (Measurand.SEAT_ANGLE, Unit.DEGREE, "37", "45"),
        (Measurand.OUTSIDE_DIAMETER, Unit.MILLIMETRE, "20", "21"),
        (Measurand.INSIDE_DIAMETER, Unit.INCH, "5/8", "11/16"),
    ],
)
def test_between_two(measurand: Measurand, unit: Unit, low: str, high: str) -> None:
    (option,) = between(*([Option(measurand, Quantity(Fraction(end), unit))] for end in (low, high)))
    words = known().wording.reading(option)
    assert words.startswith("between ")
    same(option, words)
