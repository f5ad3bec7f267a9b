"""What an engine heard, kept with its scores: the acceptance is fitted on that, and judged again without hearing again.

A dump is a file of JSON lines, one an utterance; the level and name of the noise, and the weights, stand in each.

Duty: write, read, and judge by an acceptance table. It must not hear.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TextIO

from benchmarks.hearing_corpus import NOISE
from voicefit.errors import BadInput
from voicefit.recognition.acceptance import Acceptance

OPEN_TO_ALL = Acceptance(
    accept_from=0.0, accept_from_quiet=0.0, lead_alone=0.0, lead_alike=0.0, lead_alike_quiet=0.0, quiet_from_db=0.0,
    least_prior=-99.0, foreign_below=-99.0, intercept=0.0, weights={},
)  # fmt: skip
"""Takes everything, so that the best alternative is seen of everything."""


@dataclass(frozen=True, slots=True)
class Heard:
    """``known``: it has a meaning in the grammar; ``right``: the best alternative has that. ``snr_db``: of the noise
    laid under it, ``None`` for none."""

    kind: str
    known: bool
    right: bool
    scores: dict[str, float]
    noise: str = ""
    snr_db: float | None = None
    detail: str = ""


def write(file: TextIO, heard: Heard) -> None:
    file.write(json.dumps(asdict(heard)) + "\n")


def read(path: Path) -> Iterator[Heard]:
    """Raises ``BadInput`` naming the file and the line that is no dump's."""
    with path.open(encoding="utf-8") as lines:
        for number, line in enumerate(lines, 1):
            try:
                yield Heard(**json.loads(line))
            except (ValueError, TypeError) as error:
                raise BadInput(f"{path}, line {number}: not of a dump ({error})") from error


def taken(heard: Heard, table: Acceptance) -> bool:
    return bool(heard.scores) and table.takes(heard.scores)


def counts(many: Iterable[Heard], table: Acceptance) -> dict[str, int]:
    """``n``, ``right``, ``taken`` and ``wrong`` (and taken) of what has a meaning; ``foreign`` and ``foreign_taken`` of
    the rest."""
    found = dict.fromkeys(("n", "right", "taken", "wrong", "foreign", "foreign_taken"), 0)
    for each in many:
        took = taken(each, table)
        if not each.known:
            found["foreign"] += 1
            found["foreign_taken"] += took
            continue
        refused_as_foreign = not took and each.scores.get("log_ratio", 0.0) < table.foreign_below
        found["n"] += 1
        found["right"] += each.right and not refused_as_foreign
        found["taken"] += took
        found["wrong"] += took and not each.right
    return found


def row(name: str, found: dict[str, int]) -> str:
    """One line of a table.

    >>> row("clean", {"n": 200, "right": 198, "taken": 190, "wrong": 1, "foreign": 40, "foreign_taken": 0})
    'clean: right 99.0 %, taken 95.0 %, wrong and taken 0.50 % (1) of 200; of 40 out of the grammar 0 taken'
    """
    n = max(found["n"], 1)
    return (
        f"{name}: right {found['right'] / n:.1%}, taken {found['taken'] / n:.1%}, wrong and taken "
        f"{found['wrong'] / n:.2%} ({found['wrong']}) of {found['n']}; of {found['foreign']} out of the grammar "
        f"{found['foreign_taken']} taken"
    ).replace("%", " %")


def calibration(many: Sequence[Heard], table: Acceptance, edges: Sequence[float]) -> list[tuple[float, int, int]]:
    """For each span of confidence: its lower edge, how many there were, how many of them right. Of what has scores;
    foreign speech and noise are never right."""
    found = []
    for low, high in itertools.pairwise(edges):
        inside = [
            each for each in many
            if each.scores and each.kind != NOISE and low <= table.confidence(each.scores) < high
        ]  # fmt: skip
        found.append((low, len(inside), sum(each.right for each in inside)))
    return found
