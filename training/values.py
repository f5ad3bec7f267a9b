"""Values of each kind of quantity in words, with the units people say.

Duty: fill the grammar's slots for quantities with values of the trade's range, teens and tens often. Which values
exist is not asked: weights that have only heard those would bend others to them.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Final

from training.figures import ONES, TEENS_AND_TENS, decimal, fraction, whole

Draw = random.Random

_MILLIMETRES = ["millimeters", "millimeters", "millimeters", "millimeter", "mil", "mils"]
_INCHES = ["inches", "inches", "inch", "of an inch"]
_PER_INCH = ["threads per inch", "threads per inch", "t p i", "threads to the inch", "per inch"]


def some_whole(draw: Draw, least: int, greatest: int) -> int:
    """A number of the range; one in three is a teen or a ten where the range has them."""
    alike = [n for n in TEENS_AND_TENS if least <= n <= greatest]
    return draw.choice(alike) if alike and draw.random() < 0.33 else draw.randint(least, greatest)


def inches(draw: Draw, greatest: int = 2) -> str:
    """A fraction or a decimal of an inch, mostly with the unit unsaid after a fraction."""
    if draw.random() < 0.6:
        denominator = draw.choice([2, 4, 8, 8, 16, 16, 16, 32, 32, 64])
        numerator = draw.randrange(1, greatest * denominator, 2)
        text = fraction(numerator, denominator, draw)
        return text if draw.random() < 0.6 else f"{text} {draw.choice(_INCHES)}"
    places = draw.choice([2, 3, 3])
    units = draw.choice(["", "", *map(str, range(greatest))])
    text = decimal(f"{units}.{draw.randrange(1, 10**places):0{places}}", draw)
    return f"{text} {draw.choice(_INCHES[:3])}" if draw.random() < 0.8 else text


def millimetres(draw: Draw, least: int = 4, greatest: int = 99) -> str:
    """Whole, with one decimal or with two."""
    number = some_whole(draw, least, greatest)
    kind = draw.random()
    if kind < 0.3:
        text = whole(number, draw)
    elif kind < 0.37:
        text = f"{whole(number)} and a half"
    else:
        places = 2 if kind > 0.85 else 1
        text = decimal(f"{number}.{draw.randrange(10**places):0{places}}", draw)
    return text if draw.random() < 0.1 else f"{text} {draw.choice(_MILLIMETRES)}"


def length(draw: Draw) -> str:
    if draw.random() < 0.06:
        return f"{whole(some_whole(draw, 190, 1500), draw)} {draw.choice(['thou', 'thousandths'])}"
    return inches(draw) if draw.random() < 0.5 else millimetres(draw)


def pitch(draw: Draw) -> str:
    return inch_pitch(draw) if draw.random() < 0.6 else metric_pitch(draw)


def inch_pitch(draw: Draw) -> str:
    number = "eleven and a half" if draw.random() < 0.15 else whole(some_whole(draw, 6, 40))
    return number if draw.random() < 0.7 else f"{number} {draw.choice(_PER_INCH)}"


def metric_pitch(draw: Draw) -> str:
    text = draw.choice([
        "one", "two", "three", "one and a half", "two and a half", "one point five", "one point two five",
        "one point seven five", "point seven five", "zero point five",
        decimal(f"{draw.randint(0, 4)}.{draw.randint(0, 9)}", draw),
    ])  # fmt: skip
    return text if draw.random() < 0.5 else f"{text} {draw.choice(_MILLIMETRES[:4])}"


def degrees(draw: Draw, least: int = 5, greatest: int = 120) -> str:
    usual = draw.choice([24, 30, 37, 45, 60, 74, 90]) if draw.random() < 0.5 else some_whole(draw, least, greatest)
    text = whole(usual, draw) + draw.choice(["", "", "", " and a half"] if draw.random() < 0.2 else [""])
    return text if draw.random() < 0.2 else f"{text} {draw.choice(['degrees', 'degrees', 'degree'])}"


def route_length(draw: Draw) -> str:
    number = whole(some_whole(draw, 3, 120) if draw.random() < 0.6 else draw.randint(100, 4000), draw)
    if draw.random() < 0.15:
        return f"{ONES[draw.randint(1, 9)]} {draw.choice(['foot', 'feet'])} {whole(draw.randint(1, 11))}"
    return f"{number} {draw.choice(['millimeters', 'centimeters', 'inches', 'feet', 'meters', 'foot'])}"


def pressure(draw: Draw) -> str:
    if draw.random() < 0.5:
        return f"{whole(draw.randrange(10, 700, draw.choice([5, 10, 50])), draw)} bar"
    return f"{whole(draw.randrange(500, 10001, draw.choice([250, 500])), draw)} {draw.choice(['p s i', 'psi'])}"


def temperature(draw: Draw) -> str:
    minus = "minus " if draw.random() < 0.25 else ""
    unit = draw.choice(["degrees", "celsius", "degrees celsius", "fahrenheit"])
    return f"{minus}{whole(draw.randint(5, 150), draw)} {unit}"


def _count(least: int, greatest: int) -> Callable[[Draw], str]:
    return lambda draw: whole(some_whole(draw, least, greatest))


KINDS: Final[dict[str, Callable[[Draw], str]]] = {
    "diameter": length,
    "thickness": length,
    "bore": length,
    "spacing": length,
    "decimal-spacing": millimetres,
    "thread-size": length,
    "inch-size": inches,
    "pitch": pitch,
    "inch-pitch": inch_pitch,
    "metric-pitch": metric_pitch,
    "metric-size": _count(5, 64),
    "tube-size": _count(4, 42),
    "dash": _count(2, 32),
    "count": _count(2, 24),
    "angle": degrees,
    "flank": lambda draw: draw.choice(["fifty-five", "sixty"]),
    "elbow": degrees,
    "route-turn": degrees,
    "length": route_length,
    "radius": route_length,
    "pressure": pressure,
    "temperature": temperature,
    "number": _count(1, 30),
    "small": _count(1, 99),
    "whole": _count(1, 199),
}
"""What fills a slot of the grammar, by the slot's name."""
