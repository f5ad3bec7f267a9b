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
