"""Write what the README shows of the program: run the commands of its blocks and put in what they print.

Those blocks count whose first line is ``$ voicefit ...``: the command runs in the top folder, in a home of its own.
``python -m tools.readme`` writes the README; a test compares.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent
README = TOP / "README.md"
BLOCK = re.compile(r"^```console\n\$ (?P<command>voicefit [^\n]*)\n.*?^```$", re.MULTILINE | re.DOTALL)
WIDTH = 110


def printed(command: str) -> str:
    """What a command prints, each line wrapped for a page.

    Raises ``CalledProcessError`` where it does not end with exit code 0.
    """
    program, *arguments = shlex.split(command)
    with tempfile.TemporaryDirectory() as home:
        env = {**os.environ, "HOME": home, "XDG_DATA_HOME": home, "XDG_CONFIG_HOME": home, "NO_COLOR": "1"}
        ran = subprocess.run(
            [str(Path(sys.executable).parent / program), *arguments],
            cwd=TOP,
            env=env,
            capture_output=True,
            text=True,
            check=True,
        )
    return "\n".join(wrapped(line) for line in ran.stdout.splitlines())


def wrapped(line: str) -> str:
    """A line over as many lines as it needs, those after the first indented as far as it is."""
    indent = " " * (len(line) - len(line.lstrip()))
    rows, row = [], indent
    for word in line.split():
        if len(row) + len(word) > WIDTH and row.strip():
            rows.append(row.rstrip())
            row = indent
        row += f"{word} "
    return "\n".join([*rows, row.rstrip()])


def refreshed(text: str) -> str:
    """The README with what its commands print today."""
    return BLOCK.sub(lambda m: f"```console\n$ {m['command']}\n{printed(m['command'])}\n```", text)


def main() -> None:
    README.write_text(refreshed(README.read_text("utf-8")), "utf-8")


if __name__ == "__main__":
    main()
