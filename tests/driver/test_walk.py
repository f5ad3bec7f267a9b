"""The walks of a reading through the code are no longer than the developers' page says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tools import walk
from voicefit.driver import open_knowledge

PAGE = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
_FIGURES = r"- {}: .*?(\d+) functions,\s+(\d+) files,\s+(\d+)\s+returns"


@pytest.mark.parametrize("name", ["typed", "heard"])
def test_a_reading_walks_through_no_more_than_the_page_says(name: str) -> None:
    found = re.search(_FIGURES.format(name), PAGE.read_text(encoding="utf-8"), re.DOTALL)
    assert found is not None
    walked = getattr(walk, name)(open_knowledge())
    assert len(walked.stacks) == len(walked.nouns)
    functions, files, returns = map(int, found.groups())
    assert len(walked.functions) <= functions and len(walked.files) <= files and walked.returns <= returns
