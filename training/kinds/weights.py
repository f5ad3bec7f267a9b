"""The weights that a training begins with: those of the public encoder, or those that are shipped.

Duty: read them. Word pieces that the shipped weights do not have come from the encoder.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import onnx
import torch
from numpy.typing import NDArray
from onnx import numpy_helper
from safetensors.torch import load_file

from voicefit.sentences.classifier import PIECES, WEIGHTS

_WORDS, _PLACES = "encoder.embeddings.word_embeddings.weight", "encoder.embeddings.position_embeddings.weight"
_EIGHT_BIT = "_quantized"
_OPERATORS = ("_quant", ".MatMul", ".Gemm_MatMul")  # that a node's name has behind that of the layer


def of_the_encoder(base: Path, keep: list[int], places: int, layers: int, of: int) -> dict[str, torch.Tensor]:
    """The weights of the encoder in ``base``, of the kept pieces and of ``layers`` of its ``of`` layers, evenly
    spread; without those of the heads. Names are those of :class:`training.kinds.train.Classifier`."""
    chosen = [round(at * (of - 1) / max(1, layers - 1)) for at in range(layers)]
    found = {}
    for name, value in load_file(base / "model.safetensors").items():
        if name.startswith("pooler") or not value.dtype.is_floating_point:
            continue
        name = f"encoder.{name}"
        if name == _WORDS:
            value = value[keep]
        elif name == _PLACES:
            value = value[:places]
        elif name.startswith("encoder.encoder.layer."):
            _, _, _, number, rest = name.split(".", 4)
            if int(number) not in chosen:
                continue
            name = f"encoder.encoder.layer.{chosen.index(int(number))}.{rest}"
        found[name] = value
    return found


def of_the_shipped(folder: Path, vocabulary: dict[str, int], encoder: torch.Tensor) -> dict[str, torch.Tensor]:
    """All weights of the 8 bit file in ``folder``, as numbers again; ``encoder`` has the word pieces (pieces, width)
    of ``vocabulary`` for those that the file lacks."""
    graph = onnx.load(folder / WEIGHTS).graph
    values = {each.name: numpy_helper.to_array(each) for each in graph.initializer}
    found = {name: torch.from_numpy(value.copy()) for name, value in values.items() if value.dtype == np.float32}
    for node in graph.node:
        for name in node.input:
            if name.endswith(_EIGHT_BIT) and name in values:
                found |= dict([_as_numbers(node.op_type, node.name, name, values)])
    words = encoder.clone()
    for number, piece in enumerate((folder / PIECES).read_text(encoding="utf-8").split("\n")):
        if piece in vocabulary:
            words[vocabulary[piece]] = found[_WORDS][number]
    return {**found, _WORDS: words}


def _as_numbers(
    operator: str, node: str, name: str, values: dict[str, NDArray[np.generic]]
) -> tuple[str, torch.Tensor]:
    """A weight and its name: a table has its own, a matrix (which is stored turned) that of the node it is used in."""
    plain = name.removesuffix(_EIGHT_BIT)
    whole = values[name].astype(np.float32) - values[f"{plain}_zero_point"].astype(np.float32)
    value = torch.from_numpy(whole * values[f"{plain}_scale"])
    if operator == "Gather":
        return plain, value
    where = (
        node.strip("/").replace("/", ".").removesuffix("_quant").removesuffix(".MatMul").removesuffix(".Gemm_MatMul")
    )
    return f"{where}.weight", value.T.contiguous()
