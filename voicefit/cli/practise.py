"""The command ``practise``: a live session about a piece that is made up, so that no fitting is needed to learn it.

Duty: choose the pieces and say what is found on them beside the session's replies. It must not answer anything itself.
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import typer

from voicefit.cli.ask import ENGINE_OPTION, MODEL_OPTION
from voicefit.cli.common import PLAIN_OPTION, errors_as_exit_codes, say

if TYPE_CHECKING:
    from voicefit.catalogue import CandidateEnd
    from voicefit.dialogue import Knowledge, Snapshot


def register(app: typer.Typer) -> None:
    app.command(epilog="Example: voicefit practise --typed --end flare37/8/male")(practise)


def practise(
    context: typer.Context,
    typed: bool = typer.Option(False, "--typed", help="No sound: type each utterance, read each reply."),
    end: str | None = typer.Option(None, "--end", metavar="ID", help="Be given this end, as voicefit catalogue lists."),
    headset: bool = typer.Option(False, "--headset", help="A headset is worn: replies may be talked over."),
    plain: bool = PLAIN_OPTION,
    engine: str = ENGINE_OPTION,
    model: str | None = MODEL_OPTION,
) -> None:
    """Learn the dialogue without a fitting at hand: a made-up piece whose findings are told. Nothing is kept."""
    import contextlib
    from dataclasses import replace

    from voicefit.cli.live import heard_edges, show_answer, typed_edges
    from voicefit.driver import open_knowledge
    from voicefit.driver.loop import drive
    from voicefit.driver.talk import Talk
    from voicefit.practice import Practice
    from voicefit.settings import load_settings

    with errors_as_exit_codes():
        settings = load_settings()
        if headset:
            settings = replace(settings, barge_in=True)
        knowledge = open_knowledge(context.obj.catalogue if context.obj else None)
        given = None if end is None else _named(knowledge, end)
        practice = Practice(knowledge, lambda: given or random.choice(knowledge.catalogue.ends))
        opened = typed_edges() if typed else heard_edges(settings, None, None, engine, model)
        with opened as edges, contextlib.suppress(KeyboardInterrupt):

            def tell(text: str) -> None:
                if text:
                    print(f"Practice: {text}" if plain else f"\n{text}", flush=True)
                    edges.sound.say(text)

            def show(snapshot: Snapshot) -> None:
                show_answer(knowledge, snapshot, json=False, plain=plain)
                tell(practice.after(snapshot))

            edges.show = show
            edges.tell = lambda text: say(f"voicefit: {text}")
            tell(practice.begin())
            drive(Talk(knowledge, settings, edges), edges.sound, edges.recogniser)


def _named(knowledge: Knowledge, end_id: str) -> CandidateEnd:
    """The end of an id. Raises ``BadInput`` for one that is not there."""
    from voicefit.errors import BadInput

    row = knowledge.names.rows.get(end_id)
    if row is None:
        raise BadInput(f"--end {end_id}: no such end: voicefit catalogue lists them")
    return knowledge.catalogue.ends[row]
