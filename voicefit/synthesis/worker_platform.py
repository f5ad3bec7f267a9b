"""The child process that speaks with the platform's own voices (Windows, macOS), through pyttsx3. Run as a script.

    python -I worker_platform.py

Duty: as :mod:`worker_espeak`, with the same requests and frames. The engine writes a sentence to a file and the file is
read back: playing is the speaker's business, and so is stopping. It must not import voicefit.
"""

import json
import struct
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

RATE_HZ = 22_050
TRIES, SETTLING_S = 20, 0.01


def send(kind: bytes, payload: bytes = b"") -> None:
    out = sys.stdout.buffer
    out.write(kind + struct.pack("<I", len(payload)) + payload)
    out.flush()


def sound_of(path: Path) -> bytes:
    """The file's sound as int16, mono, at the agreed rate."""
    import numpy as np
    import soundfile
    import soxr

    samples, rate_hz = soundfile.read(path, dtype="float32", always_2d=True)
    mono = soxr.resample(samples.mean(axis=1), rate_hz, RATE_HZ)
    return bytes((np.clip(mono, -1.0, 1.0) * 32767).astype("<i2").tobytes())


def set_rate(engine: Any, words_per_minute: int) -> None:
    """Set the rate and see that it took: an engine that is still winding up the last sentence may drop it."""
    for _ in range(TRIES):
        engine.setProperty("rate", words_per_minute)
        time.sleep(SETTLING_S)
        if engine.getProperty("rate") == words_per_minute:
            return


def main() -> int:
    try:
        import pyttsx3

        engine = pyttsx3.init()
        voices = list(engine.getProperty("voices"))
    except Exception as error:
        # Each platform's driver fails in its own way; whatever it is, the parent must hear of it.
        send(b"E", f"the platform's speech engine did not start: {error}".encode())
        return 1
    send(b"R", str(RATE_HZ).encode())
    usual = engine.getProperty("voice")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / ("sentence.aiff" if sys.platform == "darwin" else "sentence.wav")
        for line in sys.stdin.buffer:
            request = json.loads(line)
            if request.get("list"):
                for voice in voices:
                    tags = [tag.decode() if isinstance(tag, bytes) else str(tag) for tag in voice.languages or []]
                    plain = ["".join(c for c in tag if c.isprintable()).replace("_", "-").lower() for tag in tags]
                    send(b"V", json.dumps({"name": voice.name, "languages": plain}).encode())
                send(b".")
                continue
            chosen = {voice.name: voice.id for voice in voices} | {voice.id: voice.id for voice in voices}
            if request["name"] and request["name"] not in chosen:
                send(b"E", f"there is no voice named {request['name']}".encode())
                send(b".")
                continue
            if not request["text"].strip():
                send(b".")
                continue
            engine.setProperty("voice", chosen[request["name"]] if request["name"] else usual)
            set_rate(engine, request["words_per_minute"])
            engine.setProperty("volume", request["volume"] / 100)
            path.unlink(missing_ok=True)
            engine.save_to_file(request["text"], str(path))
            engine.runAndWait()
            send(b"A", sound_of(path))
            send(b".")
    return 0


if __name__ == "__main__":
    sys.exit(main())
