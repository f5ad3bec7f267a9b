"""The options of a reading as they are told: best first, weighed against the best, without the hopeless.

Duty: this. It must not make options.
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.records import Command, Item, Reading

_LEAST_OPTION = -5.0


def trimmed(reading: Reading) -> Reading:
    """Options best first, priors relative to the best, hopeless ones left out."""
    best = max(option.log_prior for option in reading.options)
    kept = [
        replace(option, log_prior=round(option.log_prior - best, 6))
        for option in reading.options
        if option.log_prior - best > _LEAST_OPTION
    ]
    return replace(reading, options=tuple(sorted(kept, key=lambda option: -option.log_prior)))


def weighed_anew(item: Item) -> Item:
    """The item with its readings' priors relative to their best, whatever was taken out of them since."""
    if isinstance(item, Command):
        return replace(item, readings=tuple(map(trimmed, item.readings))) if item.readings else item
    return trimmed(item) if isinstance(item, Reading) else item
