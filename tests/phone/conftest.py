"""A microphone that a browser takes for one."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from benchmarks.virtual_sound import VirtualSound


@pytest.fixture
def server() -> Iterator[VirtualSound]:
    """A microphone that can be spoken into when the moment has come."""
    with VirtualSound() as running:
        running.offer_microphone()
        yield running
