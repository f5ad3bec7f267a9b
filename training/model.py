"""The recogniser's network in PyTorch: an encoder over raw samples and a decoder over tokens, 27 million weights.

How it works: three convolutions make one state of every 384 samples; six layers of attention with rotary positions
follow, and six of the decoder, gated, with attention to the states. Names of the weights are those of
:mod:`training.weights_file`.

Source of the shape: the graphs of the public weights (model card: Moonshine tiny; arXiv:2410.15608).
Duty: the forward pass. It must not know losses or files.
"""

from __future__ import annotations

import torch
import torch.nn.functional as functional
from torch import Tensor, nn

WIDTH, HEADS, LAYERS, ROTATED = 288, 8, 6, 32
HEAD_WIDTH = WIDTH // HEADS
VOCABULARY = 32768
_ENCODER_INNER, _DECODER_INNER = 4 * WIDTH, 4 * WIDTH

Rotation = tuple[Tensor, Tensor]


def _rotation(length: int, frequencies: Tensor) -> Rotation:
    angles = torch.outer(torch.arange(length, device=frequencies.device, dtype=torch.float32), frequencies)
    return angles.cos().repeat_interleave(2, -1), angles.sin().repeat_interleave(2, -1)


def _rotate(heads: Tensor, rotation: Rotation) -> Tensor:
    turned, plain = heads[..., :ROTATED], heads[..., ROTATED:]
    swapped = torch.stack((-turned[..., 1::2], turned[..., 0::2]), -1).flatten(-2)
    cos, sin = (part.to(heads.dtype) for part in rotation)
    return torch.cat((turned * cos + swapped * sin, plain), -1)


def _attend(query: Tensor, key: Tensor, value: Tensor, mask: Tensor | None) -> Tensor:
    """``mask``: true where a key may be seen, broadcast to (batch, heads, queries, keys)."""
    if hasattr(functional, "scaled_dot_product_attention"):
        return functional.scaled_dot_product_attention(query, key, value, attn_mask=mask)
    scores = query @ key.transpose(-1, -2) / HEAD_WIDTH**0.5
    if mask is not None:
        scores = scores.masked_fill(~mask, float("-inf"))
    return scores.softmax(-1) @ value


class _Norm(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.weight = nn.Parameter(torch.ones(WIDTH))

    def forward(self, states: Tensor) -> Tensor:
        return functional.layer_norm(states, (WIDTH,), self.weight, None, 1e-5)


class _Attention(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.q_proj, self.k_proj, self.v_proj, self.o_proj = (nn.Linear(WIDTH, WIDTH, bias=False) for _ in range(4))

    def forward(self, states: Tensor, source: Tensor, rotation: Rotation | None, mask: Tensor | None) -> Tensor:
        batch, length, _ = states.shape
        query, key, value = (
            part.view(batch, -1, HEADS, HEAD_WIDTH).transpose(1, 2)
            for part in (self.q_proj(states), self.k_proj(source), self.v_proj(source))
        )
        if rotation is not None:
            query, key = _rotate(query, rotation), _rotate(key, rotation)
        return self.o_proj(_attend(query, key, value, mask).transpose(1, 2).reshape(batch, length, WIDTH))


class _EncoderLayer(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.self_attn, self.input_layernorm, self.post_attention_layernorm = _Attention(), _Norm(), _Norm()
        self.mlp = nn.ModuleDict({"fc1": nn.Linear(WIDTH, _ENCODER_INNER), "fc2": nn.Linear(_ENCODER_INNER, WIDTH)})

    def forward(self, states: Tensor, rotation: Rotation, mask: Tensor) -> Tensor:
        normed = self.input_layernorm(states)
        states = states + self.self_attn(normed, normed, rotation, mask)
        inner = functional.gelu(self.mlp["fc1"](self.post_attention_layernorm(states)))
        return states + self.mlp["fc2"](inner)


class Encoder(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.conv1 = nn.Conv1d(1, WIDTH, 127, 64, bias=False)
        self.conv2 = nn.Conv1d(WIDTH, 2 * WIDTH, 7, 3)
        self.conv3 = nn.Conv1d(2 * WIDTH, WIDTH, 3, 2)
        self.group_weight, self.group_bias = nn.Parameter(torch.ones(WIDTH)), nn.Parameter(torch.zeros(WIDTH))
        self.register_buffer("frequencies", torch.ones(ROTATED // 2))
        self.layers = nn.ModuleList(_EncoderLayer() for _ in range(LAYERS))
        self.layer_norm = _Norm()

    def forward(self, sound: Tensor, lengths: Tensor) -> tuple[Tensor, Tensor]:
        """States and the mask of those that are of the sound.

        ``sound`` : (batch, samples), 16 kHz, padded with zeros; ``lengths`` : (batch,), samples that count. The group
        norm is taken over these alone, so that a sound comes out the same in any batch.
        """
        with torch.autocast(sound.device.type, enabled=False):
            first = torch.tanh(self.conv1(sound[:, None].float()))
        frames = torch.div(lengths - 127, 64, rounding_mode="floor") + 1
        inside = (torch.arange(first.shape[-1], device=sound.device)[None] < frames[:, None])[:, None].float()
        count = frames[:, None, None].float() * WIDTH
        mean = (first * inside).sum((1, 2), keepdim=True) / count
        spread = (((first - mean) * inside) ** 2).sum((1, 2), keepdim=True) / count
        normed = (first - mean) * torch.rsqrt(spread + 1e-5) * self.group_weight[:, None] + self.group_bias[:, None]
        states = functional.gelu(self.conv3(functional.gelu(self.conv2(normed)))).transpose(1, 2)
        kept = torch.div(torch.div(frames - 7, 3, rounding_mode="floor") + 1 - 3, 2, rounding_mode="floor") + 1
        mask = (torch.arange(states.shape[1], device=sound.device)[None] < kept[:, None])[:, None, None]
        rotation = _rotation(states.shape[1], self.frequencies)
        for layer in self.layers:
            states = layer(states, rotation, mask)
        return self.layer_norm(states), mask


class _DecoderLayer(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.self_attn, self.encoder_attn = _Attention(), _Attention()
        self.input_layernorm, self.post_attention_layernorm, self.final_layernorm = _Norm(), _Norm(), _Norm()
        self.mlp = nn.ModuleDict({"fc1": nn.Linear(WIDTH, 2 * _DECODER_INNER), "fc2": nn.Linear(_DECODER_INNER, WIDTH)})

    def forward(self, states: Tensor, sound: Tensor, rotation: Rotation, before: Tensor, mask: Tensor) -> Tensor:
        normed = self.input_layernorm(states)
        states = states + self.self_attn(normed, normed, rotation, before)
        states = states + self.encoder_attn(self.post_attention_layernorm(states), sound, None, mask)
        inner, gate = self.mlp["fc1"](self.final_layernorm(states)).chunk(2, -1)
        return states + self.mlp["fc2"](functional.silu(gate) * inner)


class Decoder(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.embed = nn.Embedding(VOCABULARY, WIDTH)
        self.register_buffer("frequencies", torch.ones(ROTATED // 2))
        self.layers = nn.ModuleList(_DecoderLayer() for _ in range(LAYERS))
        self.norm = _Norm()
        self.proj = nn.Linear(WIDTH, VOCABULARY, bias=False)

    def forward(self, tokens: Tensor, sound: Tensor, mask: Tensor) -> Tensor:
        """Logits of the next token, (batch, tokens, vocabulary)."""
        return self.proj(self.states(tokens, sound, mask))

    def states(self, tokens: Tensor, sound: Tensor, mask: Tensor) -> Tensor:
        """What the logits are made of, (batch, tokens, width): the vocabulary is large, and filling needs none."""
        length = tokens.shape[1]
        before = torch.ones(length, length, dtype=torch.bool, device=tokens.device).tril()
        states = self.embed(tokens)
        rotation = _rotation(length, self.frequencies)
        for layer in self.layers:
            states = layer(states, sound, rotation, before, mask)
        return self.norm(states)


class Model(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.encoder, self.decoder = Encoder(), Decoder()
