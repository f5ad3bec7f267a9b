"""Sound devices by name. A device is named, never numbered: its number changes when another one comes or goes.

PortAudio runs in child processes, one a stream (:mod:`voicefit.audio.worker_portaudio`): to look at the devices anew is
to start another child, and a sound system that hangs is killed with its child.

Duty: list the devices, start the child of a stream, say in the tool's words why there is none.
"""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from voicefit.errors import DeviceLost, Missing
from voicefit.workers import DIED, Worker

Kind = Literal["input", "output"]
_WORDS: dict[Kind, str] = {"input": "microphone", "output": "speaker"}
START_S = 5.0  # from the start of the process to the first block; the child itself waits 2.8 s for that
HUNG_S = 1.5  # the child tells of its stream three to ten times a second
MOST_WAITING = 1500  # blocks, half a minute
COMMAND = (sys.executable, "-P", str(Path(__file__).with_name("worker_portaudio.py")))


@dataclass(frozen=True, slots=True)
class Device:
    name: str
    index: int
    rate_hz: int  # the device's own
    is_default: bool = False


@dataclass(frozen=True, slots=True)
class Running:
    """A stream that runs. ``rate_hz``, ``channels`` : of the device, int16."""

    worker: Worker
    name: str
    rate_hz: int
    channels: int
    latency_s: float


def devices(kind: Kind) -> tuple[Device, ...]:
    """All devices of a kind as they are now, the default one first. Raises ``Missing`` without PortAudio."""
    worker, document = _started("devices", what="the sound system")
    worker.end()
    return tuple(Device(**each) for each in document[kind])


def start(kind: Kind, wanted_hz: int, name: str = "") -> Running:
    """The default device, or the one so named, giving sound in blocks of 32 ms, or taking it in blocks of 20 ms.

    Raises ``Missing`` where there is none, ``DeviceLost`` where it cannot be opened or delivers nothing.
    """
    what = f"the {_WORDS[kind]}{' ' + name if name else ''}"
    worker, about = _started(kind, str(wanted_hz), name, what=what, kind=kind)
    return Running(worker, **about)


def _started(*arguments: str, what: str, kind: Kind = "input") -> tuple[Worker, Any]:
    try:
        worker = Worker((*COMMAND, *arguments), most_waiting=MOST_WAITING)
    except OSError as error:
        raise DeviceLost(what, f"no process could be started for it ({error.strerror})") from None
    answer = worker.next_frame(START_S)
    if answer is not None and answer[0] in (b"D", b"R"):
        return worker, json.loads(answer[1])
    worker.end()
    if answer is None or answer is DIED:
        raise DeviceLost(what, "the sound system does not answer" if answer is None else "the sound system crashed")
    raise _error(json.loads(answer[1]), what, kind)


def _error(why: dict[str, Any], what: str, kind: Kind) -> Exception:
    word = _WORDS[kind]
    match why["kind"]:
        case "portaudio":
            remedy = "install it: on Debian and Ubuntu, sudo apt-get install libportaudio2"
            return Missing("PortAudio", f"{remedy} ({why['detail']})")
        case "missing":
            return Missing(f"a {word}", "plug one in, and check that the system's sound settings show it")
        case "absent":
            return Missing(what, f"plug it in, or choose one of these: {', '.join(why['there'])}")
        case _:
            return DeviceLost(f"the {word} {why['name']}", why["reason"])
