"""Files and folders that only the user may read, and names that last.

Duty: create them with the right mode from the first moment (never loosened, then tightened). It must not know what is
written into them.
"""

from __future__ import annotations

import os
from pathlib import Path

from voicefit.errors import StoreError

PRIVATE_FILE = 0o600
PRIVATE_FOLDER = 0o700


def make_private_folder(folder: Path) -> None:
    """Create a folder for the user alone; an existing one is left as it is. Raises ``StoreError``."""
    try:
        folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"{folder}: cannot make the folder ({error.strerror})") from None


def make_private_file(path: Path) -> bool:
    """Create an empty file that only the user may read, with its folder, durably; True if it is new.

    An existing one is left as it is: it may be anybody's. Raises ``StoreError``, also for what is neither a file nor a
    device that takes bytes: to open a pipe would wait for its other end.
    """
    make_private_folder(path.parent)
    try:
        handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, PRIVATE_FILE)
    except FileExistsError:
        if not (path.is_file() or path.is_char_device()):
            raise StoreError(f"{path}: is not a file") from None
        return False
    except OSError as error:
        raise StoreError(f"{path}: cannot make the file ({error.strerror})") from None
    os.close(handle)
    sync_folder(path.parent)
    return True


def sync_folder(folder: Path) -> None:
    """Make a new or renamed file's name durable, where the platform can open a folder."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def identity(path: Path) -> tuple[int, int] | None:
    """What tells a file from another of the same name, device and inode; ``None`` where there is none."""
    try:
        state = path.stat()
    except OSError:
        return None
    return state.st_dev, state.st_ino


def make_private(path: Path) -> None:
    """Let nobody but the user read a file of ours, where the user owns it. Raises ``OSError``."""
    if os.name != "posix" or not path.is_file():
        return
    state = path.stat()
    if state.st_uid == os.geteuid() and state.st_mode & 0o077:
        path.chmod(PRIVATE_FILE)


def write_private(path: Path, content: bytes) -> None:
    """Write a whole file that only the user may read: all of it durably under its name, or the old one stays.

    Raises ``StoreError``.
    """
    make_private_folder(path.parent)
    draft = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        handle = os.open(draft, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, PRIVATE_FILE)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        draft.replace(path)
        sync_folder(path.parent)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise StoreError(f"{path}: cannot write ({error.strerror})") from None
