"""Finds the neural model's files on this machine.

Duty: a folder that holds all three files, looked for in a fixed order, or ``Missing`` with a remedy. It must not
download, and must not import the package that carries the weights: that import wants PortAudio.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import platformdirs

from voicefit.errors import Missing

ENCODER, DECODER, TOKENS = "encoder_model.ort", "decoder_model_merged.ort", "tokenizer.bin"
FILES = (ENCODER, DECODER, TOKENS)
PACKAGE, INSIDE_PACKAGE = "moonshine_voice", ("assets", "tiny-en")
WHAT = "the speech recogniser's model"


def cache_folder() -> Path:
    """Where a user without the package may put the three files."""
    return platformdirs.user_cache_path("voicefit", appauthor=False) / "models" / "tiny-en"


def package_folder() -> Path | None:
    """The weights' folder inside the installed package, or ``None`` when that is not installed."""
    spec = importlib.util.find_spec(PACKAGE)
    if spec is None or not spec.submodule_search_locations:
        return None
    return Path(spec.submodule_search_locations[0]).joinpath(*INSIDE_PACKAGE)


def lacking(folder: Path) -> list[str]:
    """Names of the model's files that ``folder`` does not hold."""
    return [name for name in FILES if not (folder / name).is_file()]


def find_weights(named: str | None = None) -> Path:
    """The folder with the model: the one the user names, else the installed package's, else the user's cache.

    Raises
    ------
    Missing
        A named folder is used or refused, never passed over for another; without a name, when no place has all files.
    """
    if named is not None:
        folder = Path(named).expanduser()
        if lack := lacking(folder):
            raise Missing(
                f"{', '.join(lack)} in the model folder {folder}", f"name a folder that holds {', '.join(FILES)}"
            )
        return folder
    places = [place for place in (package_folder(), cache_folder()) if place is not None]
    for place in places:
        if not lacking(place):
            return place
    raise Missing(
        WHAT,
        "pip install moonshine-voice==0.0.73 (the last release whose wheel carries it), "
        f"or put {', '.join(FILES)} into {cache_folder()}",
    )
