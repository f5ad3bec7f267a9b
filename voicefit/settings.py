"""The user's lasting settings: one TOML file that only the user may read.

Duty: read it, check it, write it whole or not at all, keep what it does not know. It must not decide what a setting
does: the session's are :class:`voicefit.dialogue.settings.Settings`; what a hearing check measured is here.

    [session]    what the user chose by voice or on the command line
    [hearing]    what ``voicefit check-hearing`` measured
    [catalogue]  where the user's own tables are: ``folder = "..."``
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any, TypeVar

from voicefit import toml_data
from voicefit.dialogue.settings import Settings
from voicefit.errors import BadInput, StoreError
from voicefit.private_files import write_private
from voicefit.resources import is_named_pipe

Report = Callable[[str], None]
_Table = TypeVar("_Table")


@dataclass(frozen=True, slots=True)
class HearingProfile:
    """What a hearing check measured of this user with this microphone; ``None``: not measured.

    ``level_dbfs`` : median level of the voice. ``noise_dbfs`` : of the room. ``quietest_dbfs`` : speech below it is
    somebody else's. ``right``, ``asked`` : phrases heard right, and read. ``acceptance_shift`` : log-odds by which
    this voice's answers are likelier to be right than the scores say.
    """

    microphone: str = ""
    level_dbfs: float | None = None
    noise_dbfs: float | None = None
    quietest_dbfs: float | None = None
    narrow_band: bool = False
    right: int = 0
    asked: int = 0
    acceptance_shift: float = 0.0

    def __post_init__(self) -> None:
        if not -3 <= self.acceptance_shift <= 1:
            raise BadInput(f"setting acceptance_shift: {self.acceptance_shift} is not between -3 and 1")
        for name in ("level_dbfs", "noise_dbfs", "quietest_dbfs"):
            value = getattr(self, name)
            if value is not None and not -200 <= value <= 0:
                raise BadInput(f"setting {name}: {value} is not between -200 and 0 dBFS")


@dataclass(frozen=True, slots=True)
class OwnTables:
    """``folder`` : with further tables in the format of ``data/``; empty: none."""

    folder: str = ""


def settings_file() -> Path:
    """Where the settings are: ``settings.toml`` in the user's configuration folder."""
    from platformdirs import user_config_path

    return user_config_path("voicefit", appauthor=False) / "settings.toml"


def load_settings(path: Path | None = None, report: Report | None = None) -> Settings:
    """The session's settings; the defaults where there is no file.

    Unknown keys are reported (on stderr) and left alone. Raises ``BadInput`` naming file and key for a wrong value, or
    for a file that is no TOML.
    """
    return _load(Settings, "session", path, report)


def load_hearing(path: Path | None = None, report: Report | None = None) -> HearingProfile:
    """What the last hearing check measured; errors as for :func:`load_settings`."""
    return _load(HearingProfile, "hearing", path, report)


def own_tables(path: Path | None = None) -> Path | None:
    """The folder with the user's own tables, relative to the file that names it; ``None`` where none is named.

    Raises ``BadInput`` where it is not there, and as :func:`load_settings`.
    """
    path = path or settings_file()
    named = _load(OwnTables, "catalogue", path, lambda _: None).folder
    if not named:
        return None
    try:
        folder = path.parent / Path(named).expanduser()
    except RuntimeError:
        raise BadInput(f"{path}: setting folder in [catalogue]: {named}: there is no such user's folder") from None
    if not folder.is_dir():
        raise BadInput(f"{path}: setting folder in [catalogue]: {folder} is not a folder")
    return folder


def save_settings(settings: Settings, path: Path | None = None) -> None:
    """Keep the session's settings; the rest of the file stays. Raises ``BadInput`` where it cannot be written."""
    _save(settings, Settings(), "session", path)


def save_hearing(profile: HearingProfile, path: Path | None = None) -> None:
    """Keep what a hearing check measured."""
    _save(profile, HearingProfile(), "hearing", path)


# ---- the file -------------------------------------------------------------------------------------------


def _load(kind: type[_Table], table: str, path: Path | None, report: Report | None) -> _Table:
    from pydantic import TypeAdapter, ValidationError

    path = path or settings_file()
    report = report or (lambda text: print(f"voicefit: {text}", file=sys.stderr))
    document = _read(path)
    for name in document:
        if name not in ("session", "hearing", "catalogue"):
            report(f"{path}: unknown table or key {name!r} is left alone")
    found = document.get(table, {})
    if not isinstance(found, dict):
        raise BadInput(f"{path}: {table} must be a table")
    known = {field.name for field in fields(kind)}  # type: ignore[arg-type]  # all are dataclasses
    for name in found:
        if name not in known:
            report(f"{path}: unknown setting {name!r} in [{table}] is left alone")
    values = {name: value for name, value in found.items() if name in known}
    try:
        return TypeAdapter(kind).validate_python(values)
    except ValidationError as error:
        key, reason = toml_data.faults_of(error)[0]
        raise BadInput(f"{path}: setting {key or '?'} in [{table}]: {reason.lower()}") from None
    except BadInput as error:
        raise BadInput(f"{path}: {error}") from None


def _read(path: Path) -> dict[str, Any]:
    if is_named_pipe(path):
        raise BadInput(f"{path}: is a pipe, not a file")
    try:
        text = path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        return {}
    except UnicodeDecodeError:
        raise BadInput(f"{path}: not UTF-8 text") from None
    except OSError as error:
        raise BadInput(f"{path}: {error.strerror}") from None
    return toml_data.tree({str(path): text}, str(path), _wrong)


def _wrong(file: str, faults: Sequence[toml_data.EntryFault]) -> BadInput:
    return BadInput(f"{file}: {faults[0].reason}")


def _save(values: Any, defaults: Any, table: str, path: Path | None) -> None:
    """Write one table; what the user wrote by hand, comments too, is kept. A value at its default is left out."""
    import tomlkit

    path = path or settings_file()
    _read(path)  # a file that cannot be read, or not safely be replaced, is not overwritten
    document = tomlkit.parse(path.read_text(encoding="utf-8")) if path.exists() else tomlkit.document()
    section = document.setdefault(table, tomlkit.table())
    usual = asdict(defaults)
    for name, value in asdict(values).items():
        if value != usual[name]:
            section[name] = value
        elif name in section:
            del section[name]
    try:
        write_private(path, tomlkit.dumps(document).encode("utf-8"))
    except StoreError as error:
        raise BadInput(str(error)) from None
