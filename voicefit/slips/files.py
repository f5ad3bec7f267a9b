"""An order slip as files: text, CSV, JSON, PDF, labels, each private to the user.

Duty: render and write. It must not decide what is on the slip.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from voicefit.catalogue import Catalogue
from voicefit.errors import BadInput
from voicefit.ordering.slip import OrderSlip
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.slip_text import to_text
from voicefit.private_files import write_private
from voicefit.slips.label import to_labels
from voicefit.slips.pdf import to_pdf

_RENDER: Mapping[str, tuple[str, Callable[[OrderSlip, Catalogue], bytes]]] = {
    "text": (".txt", lambda slip, _: to_text(slip).encode()),
    "csv": (".csv", lambda slip, _: to_csv(slip).encode("utf-8-sig")),  # with a mark, or spreadsheets take it for ANSI
    "json": (".json", lambda slip, _: (slip.to_json() + "\n").encode()),
    "pdf": (".pdf", to_pdf),
    "label": ("-label.pdf", lambda slip, _: to_labels(slip)),
}
KINDS = tuple(_RENDER)


def write_slip(slip: OrderSlip, catalogue: Catalogue, folder: Path, kinds: Iterable[str] = KINDS) -> list[Path]:
    """Write the slip in each of the kinds and return the paths: ``slip-3f9c21ab-2.pdf``.

    Raises ``BadInput`` for an unknown kind or an item too long for a code, ``StoreError`` where it cannot be written.
    """
    written = []
    for kind in kinds:
        if kind not in _RENDER:
            raise BadInput(f"{kind}: a slip is written as {', '.join(KINDS)}")
        suffix, render = _RENDER[kind]
        path = folder / f"slip-{slip.job}{suffix}"
        write_private(path, render(slip, catalogue))
        written.append(path)
    return written
