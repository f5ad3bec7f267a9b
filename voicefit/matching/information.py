"""How much the answer to a check is expected to tell about the part to order, in bits.

The information is about *parts*: ends that are one part count as one outcome. Let ``k`` be the class of an end in the
check's aspect and ``P(y|k)`` the answers foreseen. The expected information gain is the mutual information
``H(Y) - H(Y|part)`` (Lindley 1956; Cover and Thomas, Elements of Information Theory, section 2.4). Almost all parts
lie in one class, so it needs sums over classes only; parts with several classes are mixed exactly.

Duty: that sum. It must not know about checks or words.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from voicefit.matching.aspect import Floats, Ints


@dataclass(frozen=True, slots=True)
class Mixed:
    """Ends of the parts that lie in several classes of one aspect, sorted by part; ``starts`` : where each begins."""

    rows: Ints
    starts: Ints


def mixed_parts(class_of: Ints, part_of: Ints) -> Mixed:
    """Find them, once for each aspect."""
    order = np.argsort(part_of, kind="stable")
    parts, classes = part_of[order], class_of[order]
    starts = np.flatnonzero(np.r_[True, parts[1:] != parts[:-1]])
    least, most = np.minimum.reduceat(classes, starts), np.maximum.reduceat(classes, starts)
    several = np.repeat(least != most, np.diff(np.r_[starts, len(parts)]))
    rows = order[several]
    chosen = part_of[rows]
    first = np.flatnonzero(np.r_[True, chosen[1:] != chosen[:-1]]) if len(rows) else np.empty(0, dtype=np.intp)
    return Mixed(rows, first)


def row_entropy_bit(table: Floats) -> Floats:
    """Entropy of each row, in bits; rows need not sum to one (``-sum p log2 p``)."""
    logs = np.log2(table, out=np.zeros_like(table), where=table > 0)
    return np.asarray(-(table * logs).sum(axis=-1), dtype=np.float64)


def information_bit(
    p: Floats, class_of: Ints, by_class: Floats, classes: Ints, table: Floats, entropy_bit: Floats, mixed: Mixed
) -> float:
    """Mutual information of part and answer.

    Parameters
    ----------
    p : belief over ends and "none", shape (n_ends + 1,), sums to one
    class_of : class of each, same shape
    by_class : belief summed by class, (n_classes,)
    classes : the classes that matter, ascending, (n_some,); the others have next to no weight
    table : answers foreseen by these classes, shape (n_some, n_answers), rows sum to one
    entropy_bit : entropy of the table's rows, (n_some,)
    """
    weight = by_class[classes]
    answers = weight @ table
    given_part = float(weight @ entropy_bit)
    if len(mixed.rows):
        where = np.full(len(by_class), -1, dtype=np.intp)
        where[classes] = np.arange(len(classes))
        row = where[class_of[mixed.rows]]
        some = np.where(row >= 0, p[mixed.rows], 0.0)
        if float(some.sum()) > 1e-9:
            joint = np.add.reduceat(some[:, None] * table[row], mixed.starts, axis=0)
            total = joint.sum(axis=1)
            # sum over parts of p(part) H(Y|part), from the joint: H of its rows + p log2 p
            logs = np.log2(total, out=np.zeros_like(total), where=total > 0)
            given_part += float((row_entropy_bit(joint) + total * logs).sum())
            given_part -= float((some * entropy_bit[row]).sum())
    return max(float(row_entropy_bit(answers)) - given_part, 0.0)
