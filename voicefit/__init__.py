"""voicefit: hands-free, eyes-free, offline identification of hydraulic hose ends, adapters, ports and flanges.

``from voicefit import identify`` is the library for other programs: see :mod:`voicefit.public`.
"""

from __future__ import annotations

import importlib
from typing import Any

__version__ = "0.1.0"

_PUBLIC = ("Candidate", "Identification", "NextCheck", "identify")  # their types: __init__.pyi


def __getattr__(name: str) -> Any:
    """The library, loaded when first asked for: importing the package for a command stays cheap."""
    if name in _PUBLIC:
        return getattr(importlib.import_module("voicefit.public"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
