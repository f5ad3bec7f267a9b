"""The inference runtime, without its telemetry: the only file that imports it.

As its wheels come, the runtime makes a lasting device id and a database of events in the user's cache folder when it is
imported, and looks for a network to send them over. Its own switch is heard before the import; what it could have begun
all the same is ended after it.

Duty: hand out the runtime with nothing leaving the machine. It must not load a model.
"""

from __future__ import annotations

import os

os.environ["ORT_DISABLE_TELEMETRY"] = "1"

import onnxruntime

onnxruntime.disable_telemetry_events()

__all__ = ["onnxruntime"]
