"""The weights in the recogniser's ``.ort`` files: read as arrays, and written back into a copy, 8 bit as they were.

How it works: an ``.ort`` file is a flat buffer that holds the graph and its constants. Nodes are named after the
network's parts; that gives each constant the name of a weight of :mod:`training.model`. A matrix is stored as bytes
with one scale and one zero point; a trained one is rounded to that again. Nothing else of the file changes: inputs,
outputs, size and speed stay.

Duty: arrays in and out. It must not know torch.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from voicefit.recognition.weights import DECODER, ENCODER
from voicefit.runtime import onnxruntime

# Not by an import statement: that could come before the runtime's telemetry is switched off.
InferenceSession = importlib.import_module(
    f"{onnxruntime.__name__}.tools.ort_format_model.ort_flatbuffers_py.fbs.InferenceSession"
).InferenceSession

PARTS = {"encoder": ENCODER, "decoder": DECODER}
_TYPES = {1: np.float32, 2: np.uint8, 3: np.int8, 6: np.int32, 7: np.int64, 9: np.bool_, 10: np.float16, 11: np.float64}
_TENSOR, _GRAPH = 4, 5  # kinds of a node's attribute
_MATRICES = ("MatMulIntegerToFloat", "DynamicQuantizeMatMul")
_ENCODER_CONSTANTS = {
    "conv1.weight": "conv1.weight_add_tensor", "conv2.weight": "conv2.weight_add_tensor",
    "conv3.weight": "conv3.weight_add_tensor", "conv2.bias": "conv2.bias", "conv3.bias": "conv3.bias",
    "layer_norm.weight": "layer_norm.weight", "group_weight": "onnx::Mul_2080", "group_bias": "onnx::Add_2081",
}  # fmt: skip

Arrays = dict[str, np.ndarray]


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a weight is: the constant's name, whether it is in bytes, whether rows are inputs (torch has outputs)."""

    constant: str
    quantised: bool = False
    turned: bool = False


class WeightsFile:
    """One part of the model, read into memory. Raises ``ValueError`` naming the file when it is no such part."""

    def __init__(self, path: Path, part: str) -> None:
        self.path = path
        self._data = bytearray(path.read_bytes())
        try:
            self._graph = InferenceSession.GetRootAsInferenceSession(self._data, 0).Model().Graph()
            self._constants = {
                self._graph.Initializers(i).Name().decode(): self._graph.Initializers(i)
                for i in range(self._graph.InitializersLength())
            }
            self._places = dict(_places(self._graph, part))
        except Exception as error:  # a foreign buffer fails anywhere in its reader
            raise ValueError(f"{path}: not the model's {part} ({error})") from error
        if len(self._places) < 50 or not all(place.constant in self._constants for place in self._places.values()):
            raise ValueError(f"{path}: not the model's {part}")
        self._part = part

    def read(self) -> Arrays:
        """Weights by name as float32, and the positions' frequencies."""
        found: Arrays = {}
        for name, place in self._places.items():
            array = _array(self._constants[place.constant])
            if place.quantised:
                scale, zero = self._scale(place.constant)
                array = (array.astype(np.float32) - np.float32(zero)) * np.float32(scale)
            found[name] = np.ascontiguousarray((array.T if place.turned else array), np.float32)
            if name.endswith(("group_weight", "group_bias")):
                found[name] = found[name].reshape(-1)
        frequencies = next(a for a in _all_constants(self._graph) if a.dtype == np.float32 and a.shape == (1, 16, 1))
        found[f"{self._part}.frequencies"] = frequencies.reshape(-1).copy()
        return found

    def write(self, weights: Mapping[str, np.ndarray], path: Path) -> float:
        """A copy with ``weights`` at ``path``; returns the mean relative error of rounding. An unchanged matrix keeps
        its bytes: rounding it again would shift it."""
        errors: list[float] = []
        for name, place in self._places.items():
            weight = np.asarray(weights[name], np.float32)
            tensor = self._constants[place.constant]
            if not place.quantised:
                _put(tensor, weight)
                continue
            weight = weight.T if place.turned else weight
            scale, zero = self._scale(place.constant)
            if np.abs(weight - (_array(tensor).astype(np.float32) - zero) * np.float32(scale)).max() < 1e-7:
                continue
            rounded, scale, zero = quantise(weight)
            _put(tensor, rounded)
            _put(self._constants[_beside(place.constant, "scale")], np.array(scale, np.float32))
            _put(self._constants[_beside(place.constant, "zero_point")], np.array(zero, np.uint8))
            errors.append(
                float(np.linalg.norm((rounded.astype(np.float32) - zero) * scale - weight) / np.linalg.norm(weight))
            )
        path.write_bytes(self._data)
        return float(np.mean(errors)) if errors else 0.0

    def _scale(self, constant: str) -> tuple[float, int]:
        scale, zero = (
            _array(self._constants[_beside(constant, what)]).reshape(-1)[0] for what in ("scale", "zero_point")
        )
        return float(scale), int(zero)


def quantise(weight: np.ndarray) -> tuple[np.ndarray, np.float32, int]:
    """Bytes, scale and zero point: weight is about (byte − zero point) × scale."""
    least, greatest = min(0.0, float(weight.min())), max(0.0, float(weight.max()))
    scale = np.float32((greatest - least) / 255)
    zero = round(-least / float(scale))
    return np.clip(np.round(weight / scale) + zero, 0, 255).astype(np.uint8), scale, zero


def read_weights(folder: Path) -> Arrays:
    """All weights of the model in ``folder``."""
    return {
        name: array for part, file in PARTS.items() for name, array in WeightsFile(folder / file, part).read().items()
    }


def _places(graph: Any, part: str) -> Iterator[tuple[str, _Place]]:
    for node in _nodes(graph):
        kind = node.OpType().decode()
        inputs = [node.Inputs(i).decode() for i in range(node.InputsLength())]
        name = re.sub(r"^model\.decoder\.", "", (node.Name() or b"").decode().strip("/").replace("/", "."))
        if kind in _MATRICES:
            layer = name.replace(".MatMul_quant", "")
            layer = f"{part}.{'proj' if layer == 'proj_out' else layer}"
            yield f"{layer}.weight", _Place(inputs[1], quantised=True, turned=True)
            if inputs[-1].endswith("bias") or "bias_merged" in inputs[-1]:
                yield f"{layer}.bias", _Place(inputs[-1])
        elif kind == "LayerNormalization":
            found = re.search(r"((layers\.\d+\.\w+|layer_norm|norm))\.LayerNormalization", name)
            if found:
                yield f"{part}.{found[1]}.weight", _Place(inputs[1])
        elif kind == "Gather" and "embed_tokens" in name:
            yield f"{part}.embed.weight", _Place(inputs[0], quantised=True)
    if part == "encoder":
        yield from ((f"encoder.{name}", _Place(constant)) for name, constant in _ENCODER_CONSTANTS.items())


def _nodes(graph: Any) -> Iterator[Any]:
    """All nodes, those of inner graphs too, in their order."""
    for node in sorted((graph.Nodes(i) for i in range(graph.NodesLength())), key=lambda node: node.Index()):
        yield node
        for i in range(node.AttributesLength()):
            if node.Attributes(i).Type() == _GRAPH:
                yield from _nodes(node.Attributes(i).G())


def _all_constants(graph: Any) -> Iterator[np.ndarray]:
    yield from (
        _array(graph.Initializers(i))
        for i in range(graph.InitializersLength())
        if graph.Initializers(i).DataType() in _TYPES
    )
    for node in _nodes(graph):
        for i in range(node.AttributesLength()):
            attribute = node.Attributes(i)
            if attribute.Type() == _TENSOR and attribute.T().DataType() in _TYPES:
                yield _array(attribute.T())
            elif attribute.Type() == _GRAPH:
                inner = attribute.G()
                yield from (
                    _array(inner.Initializers(k))
                    for k in range(inner.InitializersLength())
                    if inner.Initializers(k).DataType() in _TYPES
                )


def _array(tensor: Any) -> np.ndarray:
    shape = [tensor.Dims(i) for i in range(tensor.DimsLength())]
    raw = tensor.RawDataAsNumpy()
    if isinstance(raw, int):  # the reader's word for no data
        return np.zeros(shape, _TYPES[tensor.DataType()])
    return np.frombuffer(raw.tobytes(), _TYPES[tensor.DataType()]).reshape(shape)


def _put(tensor: Any, array: np.ndarray) -> None:
    place = tensor.RawDataAsNumpy()
    data = np.frombuffer(np.ascontiguousarray(array).tobytes(), np.uint8)
    if place.size != data.size:
        raise ValueError(f"{tensor.Name().decode()}: {data.size} bytes for {place.size}")
    place[:] = data


def _beside(constant: str, what: str) -> str:
    return f"{constant.removesuffix('_quantized')}_{what}"
