"""Write SPOKEN.md, the list of all spoken functions, from grammar/commands.toml."""

from __future__ import annotations

from pathlib import Path

from voicefit.dialogue.registry import Registry, parse
from voicefit.resources import grammar_folder, read_texts

TARGET = Path(__file__).resolve().parent.parent / "SPOKEN.md"
HEAD = """# What you can say

Made from `grammar/commands.toml` by `python tools/spoken_docs.py`; the spoken help reads the same lines. Readings are
said in any order and at any time: "outside nineteen thirty-seconds, nineteen pitch, thirty degrees". *series* is a name
as people say it, *number* a number, *reading* a value with or without its name.

Other words do as well. What no phrase takes is guessed by the words in it, in whatever order: a question is answered by
what it is about; a seat, a seal, a shape, a taper, male or female, "can't tell", yes and no are known by the words that
go with them ("my finger drops into it", "you pull the sleeve back"). A reading that is guessed so is asked about
("The seat goes in: right?"), but where it plainly answers what was asked. Doubt ("don't quote me") is kept as "maybe",
"not" is kept as not, and what tells nothing of the end is passed over. Dialect, articles left out and speech that
repairs itself ("it's a, no wait, a nut") are read as what they stand for (`grammar/dialect.toml`). Never guessed: a
number, a question, and what chooses or corrects ("or", "instead", "the other one"). Not understood: names and numbers
of makers, and several ends in one sentence.
"""


def page(registry: Registry) -> str:
    """The page: one table a group, in the order of the file."""
    groups = dict.fromkeys(function.group for function in registry.functions)
    parts = [HEAD]
    for group in groups:
        rows = [
            f"| {_phrases(function.phrases)} | {function.help} |"
            for function in registry.functions
            if function.group == group
        ]
        parts.append("\n".join([f"## {group.capitalize()}", "", "| say | help |", "| --- | --- |", *rows]) + "\n")
    return "\n".join(parts)


def _phrases(phrases: tuple[str, ...]) -> str:
    return ", ".join(phrase.replace("{", "*").replace("}", "*") for phrase in phrases)


def main() -> None:
    registry = parse(read_texts(grammar_folder(), ".toml"))
    TARGET.write_text(page(registry), encoding="utf-8")


if __name__ == "__main__":
    main()
