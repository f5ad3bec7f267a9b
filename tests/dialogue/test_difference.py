"""In what an end that is named differs from the one in hand, and the check that tells; the nut that is put before it.

Head thicknesses of code 62, 1 1/2 in: 12.57 mm, and 14.22 mm of the extra thick head (ISO 6162-2, from memory). The
pitches of M14 by 1.5 and 9/16-18 are in their names.
"""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

FLANGE = "it's a flange, head is sixty three and a half across, twelve point six thick"
METRIC = "male, thread outside fourteen millimeters, one and a half pitch"
BRITISH = "female swivel, G half, sixty degree cone"
LIGHT = "male, M26 by one and a half, twenty four degrees, eighteen tube"


@pytest.mark.parametrize(
    ("before", "asked", "own", "other"),
    [
        (FLANGE, "how do I tell thick from normal", "twelve point five seven", "fourteen point two two"),
        (FLANGE, "what's the difference to the extra thick one", "twelve point five seven", "fourteen point two two"),
        (METRIC, "what is the difference to the 9/16", "one point five pitch", "eighteen pitch"),
        (METRIC, "what's the difference to the nine sixteenths", "one point five pitch", "eighteen pitch"),
        (METRIC, "what's the difference to a JIC", "one point five pitch", "Three-eighths thirty seven degree flare"),
        (BRITISH, "my mate says JIS not BSP, what's the difference", "the seat stands out", "the seat goes in"),
        (BRITISH, "what is the difference between JIS and BSP", "the seat stands out", "the seat goes in"),
        (BRITISH, "what's the difference to NPT", "flanks fifty-five degrees", "flanks sixty degrees"),
    ],
)
def test_both_sides_are_said(knowledge: Knowledge, before: str, asked: str, own: str, other: str) -> None:
    talk = Talk(knowledge)
    talk.say(before)
    kept = len(talk.snapshot.readings)
    reply = talk.say(asked)
    assert own in reply and other in reply, reply
    assert len(talk.snapshot.readings) == kept


@pytest.mark.parametrize(
    ("asked", "yes"),
    [
        ("a light metric nut, does it screw on it", True),
        ("a heavy nut, does it fit", False),
        ("a JIC nut, will it go on", False),
    ],
)
def test_what_is_put_before_whether_it_goes_on_is_no_reading(knowledge: Knowledge, asked: str, yes: bool) -> None:
    talk = Talk(knowledge)
    talk.say(LIGHT)
    kept = len(talk.snapshot.readings)
    assert ("If so, yes:" if yes else "If so: no.") in talk.say(asked)
    assert len(talk.snapshot.readings) == kept
