"""The lines of words of ``commands.toml``, ``answers.toml`` and ``cues.toml``, made into gists and cues.

Duty: this, naming file and place where a line is wrong (``BadGrammar``). It must not find them in a text.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from voicefit import toml_data
from voicefit.errors import BadGrammar
from voicefit.interpretation.cues import Cue, Cues, CueWords
from voicefit.interpretation.gist import Gist, gists_of
from voicefit.interpretation.grammar import CATEGORIES
from voicefit.interpretation.schema import CommandFile, CueEntry, CueFile, SayFile
from voicefit.interpretation.wordgroups import WordGroups, read_line
from voicefit.records import Measurand

CUES = "cues.toml"
_ANSWERS = "answers.toml"
_COMMANDS = "commands.toml"
Lists = Mapping[str, Sequence[str]]


def gists(texts: Mapping[str, str], commands: CommandFile, lists: Lists) -> tuple[Gist, ...]:
    """Those of the commands, in their order, then those of the answers. Raises ``BadGrammar``."""
    found: list[Gist] = []
    if _ANSWERS in texts:
        for number, answer in enumerate(toml_data.read(texts, _ANSWERS, SayFile, toml_data.in_grammar).answer, start=1):
            where = f"answer {number} ({answer.command})"
            for text in answer.gist:
                line = _line(_ANSWERS, where, text, lists)
                found.append(Gist(answer.command, line, answers=f"answer-{answer.when}"))
    for entry in commands.command:
        try:
            found.extend(gists_of(entry, lists))
        except KeyError as error:
            raise BadGrammar(_COMMANDS, f"command {entry.id!r}", f"there is no list <{error.args[0]}>") from None
    return tuple(found)


def cues(file: CueFile, doubted: float) -> Cues:
    """The cues of a file; ``doubted`` : how certain one is that is doubtful. Raises ``BadGrammar``."""
    lines = [cue for number, entry in enumerate(file.cue, start=1) for cue in _of_entry(number, entry, file.lists)]
    words = CueWords(
        turns=frozenset(file.turns.words),
        blocks=frozenset(file.blocks.words),
        denies=frozenset(file.denies.words),
        knows=frozenset(file.knows.words),
        doubts=frozenset(file.doubts.words),
        doubted=doubted,
        things=tuple(file.things.words),
        bystanders=frozenset(file.bystanders.words),
    )
    return Cues(tuple(lines), words)


def _of_entry(number: int, entry: CueEntry, lists: Lists) -> list[Cue]:
    ((measurand, meant),) = entry.means.items()
    values = (meant,) if isinstance(meant, str) else tuple(meant)
    where = f"cue {number} ({measurand} = {', '.join(values)})"
    allowed = CATEGORIES.get(measurand)
    if measurand is not Measurand.COUNTRY and (allowed is None or not allowed.issuperset(values)):
        raise BadGrammar(CUES, where, "there is no such value")
    if not (entry.clear or entry.asked):
        raise BadGrammar(CUES, where, "it has no line of words")
    return [
        Cue(measurand, values, _line(CUES, where, text, lists), asked)
        for texts, asked in ((entry.clear, False), (entry.asked, True))
        for text in texts
    ]


def _line(file: str, where: str, text: str, lists: Lists) -> WordGroups:
    try:
        return read_line(text, lists)
    except KeyError as error:
        raise BadGrammar(file, where, f"there is no list <{error.args[0]}>") from None
