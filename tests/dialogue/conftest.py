"""The real knowledge, built once for all tests of the dialogue."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import knowledge_of_the_project
from voicefit.dialogue import Knowledge


@pytest.fixture(scope="session")
def knowledge() -> Knowledge:
    return knowledge_of_the_project()
