"""A record and its line: exact both ways, and no changed byte passes."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voicefit.errors import BadInput
from voicefit.journal.record import BadRecord, Record, assemble, decode, encode, plain_json
from voicefit.journal.store import Store

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
records = st.builds(
    Record,
    session=st.text("0123456789abcdef", min_size=32, max_size=32),
    sequence=st.integers(0, 10**6),
    at=st.text(max_size=30),
    kind=st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=20),
    data=st.dictionaries(st.text(), json_values, max_size=4),
)


def record(sequence: int, session: str = "a" * 32, **data: object) -> Record:
    return Record(session, sequence, "2024-05-01T07:30:00.000Z", "reading", data)


def lasts(store: Store) -> dict[str, int]:
    """The greatest number of each session."""
    return {session: number for session, (number, _) in store.tips().items()}


@settings(max_examples=60, deadline=None)
@given(records)
def test_record_to_line_to_record(made: Record) -> None:
    line = encode(made)
    assert line.isascii() and "\n" not in line
    assert decode(line) == made
    assert encode(decode(line)) == line


def test_the_line_is_as_documented() -> None:
    checksum, _, body = encode(record(1, value="13/16")).partition(" ")
    assert checksum == hashlib.sha256(body.encode()).hexdigest()[:16]
    assert body.startswith('{"at":"2024-05-01T07:30:00.000Z","data":{"value":"13/16"},"kind":"reading","sequence":1,')


def test_any_changed_character_is_noticed() -> None:
    line = encode(record(1, value="nineteen"))
    for position in range(len(line)):
        for other in "0 x}":
            if other != line[position]:
                with pytest.raises(BadRecord):
                    decode(line[:position] + other + line[position + 1 :])


def test_any_cut_is_noticed() -> None:
    line = encode(record(1, value="nineteen"))
    for length in range(len(line)):
        with pytest.raises(BadRecord):
            decode(line[:length])


@pytest.mark.parametrize("body", ["[]", "{}", '{"session":1,"sequence":1,"at":"","kind":"","data":{}}', "nonsense"])
def test_a_right_checksum_over_something_else_is_no_record(body: str) -> None:
    with pytest.raises(BadRecord, match=r"not a record|wrong type"):
        decode(hashlib.sha256(body.encode()).hexdigest()[:16] + " " + body)


def test_data_that_is_not_json_is_refused() -> None:
    with pytest.raises(BadInput, match="not JSON"):
        plain_json({"a": float("nan")})
    with pytest.raises(BadInput, match="not JSON"):
        plain_json({"a": object()})
    assert plain_json({"a": (1, 2)}) == {"a": [1, 2]}


def test_gaps_doubles_and_bad_lines_are_named_and_the_rest_kept() -> None:
    lines = [encode(record(n)) for n in (0, 1, 2, 5, 5, 7)] + [encode(record(7, other=True)), "rubbish", ""]
    found = assemble((f"line {n}", line) for n, line in enumerate(lines, 1))
    assert [r.sequence for r in found.records] == [0, 1, 2, 5, 7]
    assert [str(d) for d in found.damage] == [
        "line 7: a second record under number 7 of its session",
        "line 8: cut short",
        "line 9: empty line",
        "session aaaaaaaa: record 3 to 4 is missing",
        "session aaaaaaaa: record 6 is missing",
    ]
