"""Write the README's pictures: the screen after the demo's sentence and the first page of an order slip.

``python -m tools.pictures``; a test sees that they are there and say what the program says.
"""

from __future__ import annotations

import io
from pathlib import Path

import pypdfium2
from PIL import ImageOps
from rich.console import Console
from rich.terminal_theme import DEFAULT_TERMINAL_THEME

from voicefit.cli.screen import rows_of, table_of
from voicefit.documents import answer_document
from voicefit.driver import Conversation, open_knowledge
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.slips.pdf import to_pdf

DOCS = Path(__file__).resolve().parent.parent / "docs"
SENTENCE = "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"
END = "flare30-g/6/female"
WRITTEN = "2026-11-28T21:40:00Z"
COLUMNS, DPI = 96, 96
FRAME = """<svg viewBox="0 0 {width} {terminal_height}" xmlns="http://www.w3.org/2000/svg">
<style>.{unique_id}-matrix {{ font-family: monospace; font-size: {char_height}px; }}
{styles}</style>
<defs>{lines}</defs>
<rect width="100%" height="100%" fill="#ffffff"/>
<g class="{unique_id}-matrix">{matrix}</g>
</svg>
"""  # no window around it, and no font from elsewhere: a picture fetches nothing


def screen() -> str:
    """What the terminal shows, as SVG."""
    conversation = Conversation(open_knowledge())
    answer = answer_document(conversation.knowledge.catalogue, conversation.take_text(SENTENCE))
    console = Console(record=True, width=COLUMNS, file=io.StringIO(), force_terminal=True)
    console.print(table_of(rows_of(answer)))
    return console.export_svg(theme=DEFAULT_TERMINAL_THEME, code_format=FRAME, unique_id="screen")


def slip() -> bytes:
    """The first page of a slip, as PNG: ink only, without the empty foot of the page."""
    ordering = open_knowledge().aftercare.ordering
    made = job_slip(ordering, JobFacts(job="3f9c21ab-1", written_at=WRITTEN, ends=(EndFacts(END),)))
    (page, *_) = pypdfium2.PdfDocument(to_pdf(made, ordering.catalogue))
    picture = page.render(scale=DPI / 72).to_pil().convert("L")
    _, _, _, foot = ImageOps.invert(picture).getbbox() or (0, 0, 0, picture.height)
    out = io.BytesIO()
    picture.crop((0, 0, picture.width, min(picture.height, foot + DPI // 3))).quantize(16).save(
        out, "PNG", optimize=True
    )
    return out.getvalue()


def main() -> None:
    (DOCS / "screen.svg").write_text(screen(), "utf-8")
    (DOCS / "slip.png").write_bytes(slip())


if __name__ == "__main__":
    main()
