"""What is said in the random sessions of ``python -m benchmarks dialogue``, beside the phrases of every function.

``PAIRS`` : texts that are heard as alternatives with shares. ``TROUBLES`` : what fails and comes back.
"""

from __future__ import annotations

READINGS = (
    "outside nineteen thirty-seconds", "inside fifteen point one millimeters", "outside nine sixteenths",
    "outside eighteen millimeters", "nineteen pitch", "eighteen pitch", "one and a half millimeter pitch",
    "thirty degrees", "thirty seven degree flare", "recessed", "it sticks out", "flat face", "o ring in the face",
    "tapered", "parallel", "male", "female", "it is a port", "dash six", "M eighteen by one point five",
    "nine sixteenths eighteen", "fifteen", "fifty", "one inch", "twenty two millimeters", "hex twenty two millimeters",
    "R two A T dash eight", "six hundred millimeters long", "two hundred bar", "ninety degrees celsius",
    "gap on the nineteen leaf", "outside nine sixteenths, eighteen pitch, thirty seven degrees, male",
    "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out",
    "it is a stud, outside point seven four four, sixteen pitch, parallel, o ring at the base",
    "sorry, eighteen pitch", "seven fifty millimeters", "12,70",
    "M fourteen by one point five", "outside was nine sixteenths", "no, twenty", "make that eighteen pitch",
)  # fmt: skip
PAIRS = (
    ("fifteen millimeters", "fifty millimeters"), ("nineteen pitch", "ninety pitch"), ("yes", "no"),
    ("outside thirteen millimeters", "outside thirty millimeters"), ("stop", "what else"),
    ("inside fourteen", "inside forty"), ("sixty degrees", "sixteen degrees"), ("seat sixty", "flank angle sixty"),
    ("one and a half pitch", "one point five millimeter pitch"), ("length one meter", "length one thousand mil"),
    ("hex nine sixteenths", "tube nine sixteenths"), ("no, fifteen", "no, fifty"), ("nine sixteen", "nine sixty"),
)  # fmt: skip
NONSENSE = ("pass me the torch", "ninety nine inches", "outside", "", "blue", "nineteen nineteen nineteen")
TROUBLES = ("microphone", "speaker", "voice", "recogniser", "disk", "note", "lamp")
