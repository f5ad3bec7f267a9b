"""A process that hears and speaks over the devices it finds; one JSON line on stdout for each event. Run with ``-m``.

    python -m tests.audio.live_child MODE

MODE ``answer``: reply to what is heard. ``slow``: reply to it after a second of deciding. ``chatter``: speak all the
time, until a line comes on stdin. Any other: only tell. Ends with stdin.
"""

from __future__ import annotations

import json
import queue
import sys
import threading
import time
from contextlib import closing

from voicefit.audio.live import LiveSound
from voicefit.records import Trouble, Utterance
from voicefit.synthesis import VoiceSettings, open_voice

REPLY = "Is that inside the nut, or outside on the thread?"


def tell(event: str, **what: object) -> None:
    print(json.dumps({"event": event, "at": time.monotonic(), **what}), flush=True)


def read(lines: queue.SimpleQueue[str]) -> None:
    for line in sys.stdin:
        lines.put(line)
    lines.put("")


def main(mode: str) -> None:
    lines: queue.SimpleQueue[str] = queue.SimpleQueue()
    threading.Thread(target=read, args=(lines,), daemon=True).start()
    with open_voice("espeak") as voice, closing(LiveSound(lambda text: voice.speak(text, VoiceSettings()))) as sound:
        while (
            sound._ears._hearing.endpointer.noise_dbfs == -120.0 and sound.now_s < 6.0
        ):  # some servers take two seconds to deliver
            time.sleep(0.02)
        tell("ready")
        while True:
            line = None if lines.empty() else lines.get()
            if line == "":
                break
            if line is not None:
                mode = "quiet"
                sound.wait()
                tell("quiet")
            if mode == "chatter" and sound.wait(0):
                sound.say(REPLY)
                tell("said")
            event = sound.next(0.05)
            if isinstance(event, Utterance):
                tell("heard", seconds=event.duration_s)
                if mode == "slow":
                    with sound.deciding():
                        time.sleep(1.0)
                if mode in ("answer", "slow"):
                    sound.say(REPLY)
                    sound.wait()
                    tell("answered")
            elif isinstance(event, Trouble):
                tell("trouble", what=event.what, back=event.back, detail=event.detail)


if __name__ == "__main__":
    main(sys.argv[1])
