"""A virtual microphone and speaker that PortAudio sees, for benchmarks and tests of the live session.

Duty: run a PulseAudio server of its own in a scratch folder, with a null sink for what is said to the tool (its monitor
is the default microphone) and one for what the tool says; and end it. It must not touch the user's own sound server.

Needs Debian's pulseaudio, pulseaudio-utils and libasound2-plugins (``tools/system-packages test`` installs them).
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import time
from pathlib import Path
from typing import IO, Any

from voicefit.errors import Missing

_PROGRAMS = ("pulseaudio", "pactl", "paplay", "parec")
_ALSA = "pcm.!default { type pulse }\nctl.!default { type pulse }\npcm.pulse { type pulse }\n"
SPEAKER_HZ = 22_050


class VirtualSound:
    """Use as a context manager; ``environment`` is for the processes that shall hear and speak there.

    Raises ``Missing`` where PulseAudio is not installed or does not start.
    """

    def __init__(self) -> None:
        lacking = [program for program in _PROGRAMS if shutil.which(program) is None]
        if lacking:
            raise Missing(
                f"the virtual sound card ({', '.join(lacking)})",
                "sudo apt-get install pulseaudio pulseaudio-utils libasound2-plugins",
            )
        self.folder = Path(tempfile.mkdtemp(prefix="voicefit-sound-"))
        runtime = self.folder / "runtime"
        runtime.mkdir(mode=0o700)
        (self.folder / ".asoundrc").write_text(_ALSA, encoding="utf-8")
        self.environment = {
            **{name: value for name, value in os.environ.items() if not name.startswith(("PULSE_", "XDG_"))},
            "HOME": str(self.folder),
            "XDG_RUNTIME_DIR": str(runtime),
        }
        self._server: subprocess.Popen[bytes] | None = None
        self._children: list[subprocess.Popen[bytes]] = []

    def __enter__(self) -> VirtualSound:
        try:
            self.start()
        except BaseException:
            self._remove()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        for child in self._children:
            end(child)
        self.stop()
        self._remove()

    def start(self) -> None:
        """Start the server and wait until it answers."""
        modules = (
            "module-native-protocol-unix",
            "module-null-sink sink_name=vmic rate=16000 channels=1",
            f"module-null-sink sink_name=vspk rate={SPEAKER_HZ} channels=1",
            "module-always-sink",
        )
        options = [part for module in modules for part in ("-L", module)]
        self._server = subprocess.Popen(
            ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--log-target=stderr", *options],
            env=self.environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        end = time.monotonic() + 20
        while not self._control("info"):
            if self._server.poll() is not None or time.monotonic() > end:
                self.stop()
                raise Missing("the virtual sound card", "pulseaudio did not start here")
            time.sleep(0.05)
        self._control("set-default-source", "vmic.monitor")
        self._control("set-default-sink", "vspk")

    def stop(self) -> None:
        """End the server, as when a device is unplugged."""
        if self._server is not None:
            end(self._server)
            self._server = None

    def kill(self) -> None:
        """End the server without a farewell, as when it crashes."""
        if self._server is not None:
            self._server.kill()
            self._server.wait()
            self._server = None

    def feed_back(self) -> None:
        """From now on the microphone hears the speaker, as in a room."""
        if not self._control("load-module", "module-loopback", "source=vspk.monitor", "sink=vmic", "latency_msec=20"):
            raise Missing("the loopback", "pulseaudio has no module-loopback")

    def offer_microphone(self) -> None:
        """From now on there is a source that is no monitor of a speaker: a browser takes nothing else for one."""
        made = self._control("load-module", "module-remap-source", "master=vmic.monitor", "source_name=mic")
        if not made or not self._control("set-default-source", "mic"):
            raise Missing("the microphone", "pulseaudio has no module-remap-source")

    def say(self, file: Path, *, patient: bool = True) -> None:
        """Play a sound file into the microphone; returns when it has been played, or the server has gone.

        Raises ``CalledProcessError`` where it could not be played to its end, if ``patient``.
        """
        subprocess.run(
            ["paplay", "--device=vmic", str(file)],
            env=self.environment,
            check=patient,
            timeout=120,
            stderr=None if patient else subprocess.DEVNULL,
        )

    def record(self, file: Path) -> subprocess.Popen[bytes]:
        """Record what the tool says as raw int16 into a file; ``end`` the process to finish."""
        with file.open("wb") as out:
            return self._record("vspk", out)

    def record_to_pipe(self, what: str) -> subprocess.Popen[bytes]:
        """Record what the tool says (``vspk``, at 22.05 kHz) or hears (``vmic``, at 16 kHz) from its ``stdout``."""
        return self._record(what, subprocess.PIPE)

    def _record(self, what: str, out: IO[bytes] | int) -> subprocess.Popen[bytes]:
        rate_hz = SPEAKER_HZ if what == "vspk" else 16_000
        layout = ("--format=s16le", f"--rate={rate_hz}", "--channels=1", "--latency-msec=10")
        child = subprocess.Popen(
            ["parec", f"--device={what}.monitor", *layout],
            env=self.environment,
            stdout=out,
            stderr=subprocess.DEVNULL,
        )
        self._children.append(child)
        return child

    def _control(self, *arguments: str) -> bool:
        ended = subprocess.run(
            ["pactl", *arguments],
            env=self.environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            check=False,
        )
        return ended.returncode == 0

    def _remove(self) -> None:
        shutil.rmtree(self.folder, ignore_errors=True)


def end(process: subprocess.Popen[Any]) -> None:
    """End a child and wait for it."""
    if process.poll() is None:
        process.terminate()
        try:
            process.wait(timeout=5)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
