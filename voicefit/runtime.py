"""The inference runtime, without its telemetry: the only file that imports it.

As its wheels come, the runtime makes a lasting device id and a database of events in the user's cache folder when it is
imported, and looks for a network to send them over. Its own switch is heard before the import; what it could have begun
all the same is ended after it.

Duty: hand out the runtime with nothing leaving the machine, and give memory back that it let go. It must not load a
model.
"""

from __future__ import annotations

import contextlib
import ctypes
import os

os.environ["ORT_DISABLE_TELEMETRY"] = "1"

import onnxruntime

onnxruntime.disable_telemetry_events()

__all__ = ["give_back", "onnxruntime"]


def give_back() -> None:
    """Return to the system what was let go of but is still held: a sixth after utterances of many lengths.

    Where the C library is glibc; elsewhere nothing is done. Takes some milliseconds, and new pages for the next
    utterance as many: not for every one.
    """
    with contextlib.suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)
