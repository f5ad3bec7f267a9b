"""What all commands share: one JSON document on stdout, messages on stderr, errors as exit codes.

Duty: output and exit codes. It must not know what any command does.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, TypeVar

import typer

from voicefit.errors import Missing, VoicefitError

if TYPE_CHECKING:
    from pydantic import BaseModel

_T = TypeVar("_T")
DONE, NOTHING, BAD_INPUT, MISSING = 0, 1, 2, 3  # exit codes; NOTHING: nothing understood or nothing fits

PLAIN_OPTION = typer.Option(False, "--plain", help="Bare lines, for screen readers and files.")
JSON_OPTION = typer.Option(False, "--json", help="Print one JSON document on stdout and nothing else there.")


def say(text: str) -> None:
    """A message to the person: on stderr, so that stdout stays a document."""
    with suppress(OSError, ValueError, AttributeError):  # full, closed, or none: there is nobody left to tell
        sys.stderr.write(text + "\n")
        sys.stderr.flush()


def with_progress(items: Iterable[_T], doing: str, total: int) -> Iterator[_T]:
    """The items, with a progress bar on stderr while it is a terminal."""
    from rich.console import Console
    from rich.progress import track

    console = Console(stderr=True)
    if not console.is_terminal:
        return iter(items)
    return iter(track(items, description=doing, total=total, console=console, transient=True))


def print_json(document: BaseModel | Any, *, one_line: bool = False) -> None:
    """Print a pydantic document, or plain JSON-able data, to stdout."""
    plain = document.model_dump(mode="json") if hasattr(document, "model_dump") else document
    indent = None if one_line else 2
    sys.stdout.write(json.dumps(plain, ensure_ascii=False, indent=indent, allow_nan=False) + "\n")
    sys.stdout.flush()


@contextmanager
def errors_as_exit_codes() -> Iterator[None]:
    """Turn every error raised on purpose, and what the system refuses, into one line on stderr and its exit code."""
    try:
        yield
    except VoicefitError as error:
        say(f"voicefit: {error}")
        raise typer.Exit(MISSING if isinstance(error, Missing) else BAD_INPUT) from None
    except BrokenPipeError:
        raise  # nobody reads any more: the program's own end
    except OSError as error:
        say(f"voicefit: {in_words(error)}")
        raise typer.Exit(BAD_INPUT) from None


def in_words(error: OSError) -> str:
    """The file that the system refused, and why."""
    return ": ".join(str(part) for part in (error.filename, error.strerror or str(error)) if part)
