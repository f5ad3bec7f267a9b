"""The command line: one file a topic beside this one; here only the program and its global options.

Duty: gather the commands. Importing it must stay cheap: what is heavy is imported inside the commands.
"""

from __future__ import annotations

import importlib
import io
import sys
from functools import cached_property
from pathlib import Path

import typer

from voicefit import __version__

TOPICS = (
    "ask",
    "explain",
    "live",
    "practise",
    "doctor",
    "check_hearing",
    "catalogue",
    "tables",
    "jobs",
    "slip",
    "stock",
)


class Globals:
    """What the user said before the command."""

    def __init__(self, catalogue: Path | None = None) -> None:
        self._catalogue = catalogue

    @cached_property
    def catalogue(self) -> Path | None:
        """The folder with further tables of the user's own: as said, else as the settings name it."""
        if self._catalogue is not None:
            return self._catalogue
        from voicefit.settings import own_tables

        return own_tables()


def _print_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"voicefit {__version__}")
        raise typer.Exit


def build() -> typer.Typer:
    """The program with all its commands."""
    app = typer.Typer(
        name="voicefit",
        help="Identify hydraulic hose ends, adapters, ports and flanges by voice, offline.",
        epilog='Example: voicefit ask "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"',
        no_args_is_help=True,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["--help", "-h"]},
    )

    @app.callback()
    def _globals(
        context: typer.Context,
        catalogue: Path | None = typer.Option(
            None, "--catalogue", metavar="DIR", help="Folder with further tables in the format of data/."
        ),
        version: bool = typer.Option(
            False, "--version", callback=_print_version, is_eager=True, help="Print the version."
        ),
    ) -> None:
        context.obj = Globals(catalogue=catalogue)

    for topic in TOPICS:
        importlib.import_module(f"voicefit.cli.{topic}").register(app)
    return app


def main() -> None:
    """Entry point of the command ``voicefit``. What a terminal cannot show (ASCII alone) is escaped, never an error."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    build()()
