"""voicefit: hands-free, eyes-free, offline identification of hydraulic hose ends, adapters, ports and flanges.

``from voicefit import identify`` is the library for other programs: see :mod:`voicefit.public`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voicefit.public import Candidate, Identification, NextCheck, identify

__version__ = "0.1.0"
__all__ = ["Candidate", "Identification", "NextCheck", "__version__", "identify"]


def __getattr__(name: str) -> Any:
    """The library, loaded when first asked for: importing the package for a command stays cheap."""
    if name in __all__:
        from voicefit import public

        return getattr(public, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
