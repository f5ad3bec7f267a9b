"""A typed session in a process of its own, and what its answers said."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from typing import Any


def replies(answers: list[dict[str, Any]]) -> list[str]:
    return [answer["reply"] for answer in answers]


class Child:
    """A typed session in a process of its own."""

    def __init__(self, *options: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", "from voicefit.cli import main; main()", "talk", "--typed", "--json", *options],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=dict(os.environ),
        )
        self.greeting = self._answer()

    def say(self, line: str) -> dict[str, Any]:
        assert self.process.stdin is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()
        return self._answer()

    def _answer(self) -> dict[str, Any]:
        assert self.process.stdout is not None
        answer = self.process.stdout.readline()
        assert answer, self.process.communicate()[1]
        return json.loads(answer)

    def stop(self) -> str:
        """End it by the word; what it told on stderr."""
        return self.process.communicate("stop\n")[1]

    def kill(self) -> str:
        """What it told on stderr."""
        self.process.send_signal(signal.SIGKILL)
        return self.process.communicate()[1]
