"""The sentences as they are said another time: what they tell stays what it is."""

from __future__ import annotations

import random

from training.kinds.rows import marked, rows_of
from training.kinds.variety import varied

SOME = [row for rows in rows_of().values() for row in rows][::40]
HEARD = marked("the tag says sixteen, [it's fourteen], sixteen, or 1/8")


def _spoken(text: str) -> str:
    return " ".join(text.replace(",", " ").split())


def test_what_is_told_lies_in_the_sentence_as_it_is_said_then() -> None:
    for row in varied(SOME, SOME, random.Random(1)):
        ends = [place for span in row.told or () for place in span]
        assert ends == sorted(ends) and (not ends or ends[-1] <= len(row.text)), row


def test_a_sentence_of_a_kind_keeps_its_words() -> None:
    """Of other numbers it might be of another kind: "two wire braids"."""
    kinds = [row for row in SOME if row.kind not in ("", "figure")]
    assert len(kinds) > 100
    for before, after in zip(kinds, varied(kinds, kinds, random.Random(2)), strict=True):
        assert after.kind in (before.kind, "")  # with another, of no one kind
        assert not after.kind or _spoken(before.text) in _spoken(after.text)


def test_the_same_number_is_put_by_the_same() -> None:
    chance, seen = random.Random(3), set()
    for _ in range(200):
        (row,) = varied([HEARD], [HEARD._replace(told=None)], chance)
        first, told = row.told[0] if row.told else (0, 0)
        words = row.text[:first].replace(",", "").split()
        assert row.text[told:].replace(",", "").split()[0] == words[-1]
        seen.add((words[-1], row.text[first:told], row.text[-1]))
    assert len(seen) > 20 and {share for *_, share in seen} > {"8", "3"}
    assert all(told.startswith("it's ") for _, told, _ in seen)
