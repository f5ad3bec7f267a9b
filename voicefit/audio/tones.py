"""The four tones, told apart by pitch and by rhythm alike, so that either alone is enough.

Duty: make them. It must not decide when one is played.

    listening  one soft short note, rising           "speak"
    heard      two quick notes, the second higher     "taken"
    refused    two longer notes, the second lower     "say again"
    working    three even ticks                       "wait"
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import BadInput
from voicefit.records import Sound

RATE_HZ = 22_050
_LOUDNESS = 0.25
_EDGE_S = 0.008  # rise and fall, so that no click is heard

# (from Hz, to Hz, seconds); a number alone is a pause. All within the telephone band, which any headset carries.
# None below 740 Hz: a tone at the pitch of a voice is a voice to the detector, and a refusal that is heard over the
# loudspeaker would be refused again.
_SCORES: dict[str, tuple[tuple[float, float, float] | float, ...]] = {
    "listening": ((740.0, 990.0, 0.12),),
    "heard": ((880.0, 880.0, 0.06), 0.04, (1320.0, 1320.0, 0.08)),
    "refused": ((1175.0, 1175.0, 0.14), 0.06, (880.0, 880.0, 0.2)),
    "working": ((784.0, 784.0, 0.04), 0.11, (784.0, 784.0, 0.04), 0.11, (784.0, 784.0, 0.04)),
}
TONES = tuple(_SCORES)


def tone(name: str, volume: int = 100) -> Sound:
    """The tone of that name; ``volume`` 0..100. Raises ``BadInput`` for any other name.

    >>> round(tone("heard").duration_s, 2)
    0.18
    """
    if name not in _SCORES:
        raise BadInput(f"there is no tone named {name}; choose from {', '.join(TONES)}")
    parts = [
        np.zeros(round(item * RATE_HZ), np.float64) if isinstance(item, float) else _note(*item)
        for item in _SCORES[name]
    ]
    loudness = _LOUDNESS * min(100, max(0, volume)) / 100
    return Sound((np.concatenate(parts) * loudness * 32767).astype(np.int16), RATE_HZ)


def _note(from_hz: float, to_hz: float, seconds: float) -> NDArray[np.float64]:
    count = round(seconds * RATE_HZ)
    phase = 2 * np.pi * np.cumsum(np.linspace(from_hz, to_hz, count)) / RATE_HZ
    edge = round(_EDGE_S * RATE_HZ)
    envelope = np.minimum(1.0, np.minimum(np.arange(count), np.arange(count)[::-1]) / edge)
    note: NDArray[np.float64] = np.sin(phase) * envelope
    return note
