"""The screen of an answer: its own colors none, and nothing cut however narrow it is."""

from __future__ import annotations

import io
import re

import pytest
from rich.console import Console

from voicefit.cli.screen import table_of

ROWS = [
    ("Heard", "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"),
    ("Candidate", " 98.9%  3/8 30° flare on parallel pipe thread, female swivel, G3/8, female, dash 6"),
    ("Says", "Nineteen thirty-seconds of an inch fits only if measured inside. Feel the seat. Out, in, flat, or none?"),
]


def shown(width: int) -> str:
    out = io.StringIO()
    Console(file=out, width=width, force_terminal=True, color_system="truecolor").print(table_of(ROWS))
    return out.getvalue()


def test_no_color_is_set_so_that_the_terminals_own_contrast_holds() -> None:
    codes = {code for found in re.findall(r"\x1b\[([\d;]*)m", shown(100)) for code in found.split(";")}
    assert codes <= {"", "0", "1"}, codes  # bold and its end; 30 to 49 and 90 to 107 would be colors


@pytest.mark.parametrize("width", [40, 80, 120])
def test_nothing_is_cut_and_no_line_is_wider_than_the_screen(width: int) -> None:
    lines = re.sub(r"\x1b\[[\d;]*m", "", shown(width)).splitlines()
    assert max(map(len, lines)) <= width
    words = " ".join(lines).split()
    for label, text in ROWS:
        assert label in words and [word for word in text.split() if word not in words] == []
