"""Nothing leaves the machine, and nothing is left on it outside the tool's own folders: watched from outside.

The commands run under strace, which sees every call to the system by every process that they start.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parent.parent
SPOKEN = TOP / "data" / "demo" / "sentence.flac"
RUNTIME = re.compile(r"^\s*(?:import|from)\s+onnxruntime\b", re.MULTILINE)

WATCHED = "socket,connect,sendto,sendmsg,open,openat,creat,mkdir,mkdirat,rename,renameat,renameat2,link,linkat,symlink"
_LINE = re.compile(r"^\d+\s+(?P<call>\w+)\((?P<arguments>.*)\)\s+= (?P<result>-?\d+)")
_PATH = re.compile(r'"((?:[^"\\]|\\.)*)"')

# What the sound system's own client libraries leave when they look for a server; without one, and with one.
SOUND_SYSTEM = re.compile(
    r"(/dev/(null|tty|pts/.*|shm/(jack|pulse|sem\.).*|snd/.*)|.*/\.config/pulse(/.*)?|.*/pulse-[^/]*(/.*)?)$"
)


@dataclass(frozen=True)
class Watched:
    sockets: list[str]
    written: set[Path]


@pytest.fixture
def watched(tmp_path: Path):
    """Runs a command with empty folders of its own and returns what it asked of the system."""
    if shutil.which("strace") is None or not _may_trace():
        pytest.skip("strace is not installed, or may not trace here")
    home, here = tmp_path / "home", tmp_path / "here"
    for folder in (home, here, tmp_path / "tmp"):
        folder.mkdir()
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("XDG_", "ORT_", "PULSE_"))}
    own = {"HOME": str(home), "TMPDIR": str(tmp_path / "tmp"), "PYTHONDONTWRITEBYTECODE": "1"}

    def run(*arguments: str) -> Watched:
        trace = tmp_path / "trace"
        program = [sys.executable, "-c", "from voicefit.cli import main; main()", *arguments]
        ended = subprocess.run(
            ["strace", "-f", "-qq", "-s", "4096", "-e", f"trace={WATCHED}", "-o", str(trace), *program],
            cwd=here, env=kept | own, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert ended.returncode == 0, ended.stderr
        return read_trace(trace.read_text(errors="replace"), here)

    return run


def _may_trace() -> bool:
    tried = ["strace", "-f", "-o", os.devnull, "true"]
    return subprocess.run(tried, capture_output=True, check=False).returncode == 0


def read_trace(text: str, folder: Path) -> Watched:
    """Sockets of the internet families, and every file or folder that was made, opened for writing or renamed."""
    sockets, written = [], set()
    for line in text.splitlines():
        match = _LINE.match(line)
        if "AF_INET" in line:
            sockets.append(line)
        if match is None or int(match["result"]) < 0:
            continue
        call, arguments = match["call"], match["arguments"]
        writes = re.search(r"O_CREAT|O_WRONLY|O_RDWR", arguments) or not call.startswith("open")
        if call not in ("socket", "connect", "sendto", "sendmsg") and writes:
            written.update(folder / path for path in _PATH.findall(arguments))
    return Watched(sockets, written)


COMMANDS = {
    "demo": ["demo"],
    "hear": ["hear", str(SPOKEN)],
    "talk": ["talk", "--from", str(SPOKEN), "--to", "answers.wav"],
}


@pytest.mark.parametrize("arguments", COMMANDS.values(), ids=COMMANDS)
def test_nothing_leaves_the_machine_nor_the_own_folders(watched, tmp_path: Path, arguments: list[str]) -> None:
    seen = watched(*arguments)
    assert seen.sockets == []
    home = tmp_path / "home"
    own = [home / ".local/share/voicefit", home / ".config/voicefit", home / ".cache/voicefit", tmp_path / "here"]
    parents = {parent for folder in own for parent in folder.parents}  # ~/.local is made on the way to our own
    others = {
        path
        for path in seen.written
        if not any(path.is_relative_to(folder) for folder in own)
        and path not in parents
        and not SOUND_SYSTEM.match(str(path))
    }
    assert others == set()


def test_a_call_to_the_network_would_be_seen(watched, tmp_path: Path) -> None:
    """The watch itself: sockets and files for writing are told from files that are only read."""
    text = (
        "1 socket(AF_INET6, SOCK_DGRAM|SOCK_CLOEXEC, IPPROTO_IP) = 3\n"
        '1 openat(AT_FDCWD, "a/b", O_RDWR|O_CREAT, 0644) = 4\n'
        '1 openat(AT_FDCWD, "/etc/hosts", O_RDONLY|O_CLOEXEC) = 5\n'
        '1 openat(AT_FDCWD, "/etc/no", O_RDWR|O_CREAT, 0644) = -1 EACCES (Permission denied)\n'
    )
    seen = read_trace(text, tmp_path)
    assert len(seen.sockets) == 1 and seen.written == {tmp_path / "a/b"}


def test_only_one_file_imports_the_runtime() -> None:
    """Another import could come before the switch."""
    importing = [
        path.relative_to(TOP).as_posix()
        for folder in ("voicefit", "benchmarks", "tools", "training")
        for path in (TOP / folder).rglob("*.py")
        if RUNTIME.search(path.read_text(encoding="utf-8"))
    ]
    assert importing == ["voicefit/runtime.py"]
