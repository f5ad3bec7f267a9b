"""Write the README's pictures: the screen after the demo's sentence and the first page of an order slip.

``python -m tools.pictures``; a test sees that they are there and say what the program says.
"""

from __future__ import annotations

import html
import io
import re
from pathlib import Path

import pypdfium2
from PIL import ImageOps
from PIL.PngImagePlugin import PngInfo
from rich.console import Console
from rich.terminal_theme import DEFAULT_TERMINAL_THEME

from voicefit.cli.screen import rows_of, table_of
from voicefit.documents import answer_document
from voicefit.driver import Conversation, open_knowledge
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import OrderSlip
from voicefit.ordering.slip_text import to_text
from voicefit.slips.pdf import to_pdf

DOCS = Path(__file__).resolve().parent.parent / "docs"
SENTENCE = "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"
END = "flare30-g/6/female"
WRITTEN = "2026-11-28T21:40:00Z"
COLUMNS, DPI = 96, 96
CARRIED = "slip"  # key of the text within the PNG
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


def slip_text() -> str:
    """What the slip of the picture says; the picture carries it, so that a test sees when it is out of date."""
    return to_text(_slip(open_knowledge().aftercare.ordering))


def slip() -> bytes:
    """The first page of a slip, as PNG, without the empty foot of the page."""
    ordering = open_knowledge().aftercare.ordering
    made = _slip(ordering)
    (page, *_) = pypdfium2.PdfDocument(to_pdf(made, ordering.catalogue))
    picture = page.render(scale=DPI / 72).to_pil().convert("L")
    _, _, _, foot = ImageOps.invert(picture).getbbox() or (0, 0, 0, picture.height)
    carried, out = PngInfo(), io.BytesIO()
    carried.add_itxt(CARRIED, to_text(made))
    cut = picture.crop((0, 0, picture.width, min(picture.height, foot + DPI // 3)))
    cut.quantize(16).save(out, "PNG", optimize=True, pnginfo=carried)
    return out.getvalue()


def _slip(ordering: Ordering) -> OrderSlip:
    return job_slip(ordering, JobFacts(job="3f9c21ab-1", written_at=WRITTEN, ends=(EndFacts(END),)))


def words_of(svg: str) -> list[str]:
    """The text of a picture, in its order."""
    return [html.unescape(words) for words in re.findall(r">([^<>]+)</text>", svg)]


def main() -> None:
    (DOCS / "screen.svg").write_text(screen(), "utf-8")
    (DOCS / "slip.png").write_bytes(slip())


if __name__ == "__main__":
    main()
