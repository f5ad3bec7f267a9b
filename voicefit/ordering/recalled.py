"""What an order slip says from memory, by name: for the table's column and the label's line.

Duty: names alone. What stands on a slip, and how it is known, is in its items.
"""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.catalogue.ends import Basis, least_sure
from voicefit.ordering.slip import (
    AdapterItem,
    ChainItem,
    DiameterItem,
    EndItem,
    FigureItem,
    HoseItem,
    OrderSlip,
    RatingItem,
)


def of_end(end: EndItem) -> tuple[str, ...]:
    heads = [] if end.flange is None else [end.flange]
    return _recalled(
        {
            "thread": end.thread_basis,
            "tube": end.tube_basis,
            "hexagon": end.hex_basis,
            "seat": end.seat_basis,
            "head": least_sure(each.head_basis for each in heads),
            "bolt centres": least_sure(each.centres_basis for each in heads),
            "bolts": least_sure(bolts.basis for each in heads for bolts in each.bolts),
            "diameter": _of(end.diameter),
            "ring": least_sure(seal.basis for seal in end.seals),
            "torque": least_sure(figure.basis for figure in end.torque),
            "turns": least_sure(figure.basis for figure in end.turns),
            "pressure": _of(end.pressure),
        }
    )


def of_hose(hose: HoseItem) -> tuple[str, ...]:
    return _recalled(
        {
            "edition": hose.edition_basis,
            "bore": hose.basis,
            "bend radius": hose.basis,
            "length tolerance": least_sure(each.basis for each in hose.tolerances),
            "pressure": _of(hose.rating),
        }
    )


def of_adapter(adapter: AdapterItem, chain: ChainItem) -> tuple[str, ...]:
    return _recalled({"adapter": adapter.basis, "pressure": _of(chain.rating)})


def of_slip(slip: OrderSlip) -> tuple[str, ...]:
    """Of all its items, each name once."""
    found = [
        *(of_end(end) for end in slip.ends),
        *(_recalled({"ring": each.seal.basis}) for each in slip.seals),
        *(of_hose(hose) for hose in slip.hoses),
        *(of_adapter(adapter, chain) for chain in slip.chains for adapter in chain.adapters),
        *(_recalled({"pressure": _of(chain.rating)}) for chain in slip.chains),
    ]
    return tuple(dict.fromkeys(name for names in found for name in names))


def _of(item: DiameterItem | FigureItem | RatingItem | None) -> Basis | None:
    return None if item is None else item.basis


def _recalled(said: Mapping[str, Basis | None]) -> tuple[str, ...]:
    return tuple(name for name, basis in said.items() if basis is Basis.MEMORY)
