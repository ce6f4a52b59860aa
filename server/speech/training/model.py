"""The acoustic model: the encoder of Whisper tiny.en, two layers more, a linear layer on the 50 Hz output, 39 phones and a blank.

The two layers on top start as copies of the encoder's last with their output projections at zero, so that they change nothing
until they are trained. Whisper's positions are sinusoids; they are computed, which saves the table.
"""

import math

import numpy as np
import torch
import torch.nn.functional as F
from torch import nn

RATE, HOP, WINDOW, BANDS = 16000, 160, 400, 80
GENERAL, LAYERS = 4, 6  # layers of the general encoder, and ours


class Block(nn.Module):
    plain = False  # True spells attention out in simple operations, for the export

    def __init__(self, d: int, heads: int):
        super().__init__()
        self.h = heads
        self.q, self.k, self.v, self.o = nn.Linear(d, d), nn.Linear(d, d, bias=False), nn.Linear(d, d), nn.Linear(d, d)
        self.l1, self.l2 = nn.LayerNorm(d), nn.LayerNorm(d)
        self.f1, self.f2 = nn.Linear(d, 4 * d), nn.Linear(4 * d, d)

    def forward(self, x, mask=None, drop=0.0):
        batch, time, d = x.shape
        y = self.l1(x)
        q, k, v = (z.view(batch, time, self.h, d // self.h).transpose(1, 2) for z in (self.q(y), self.k(y), self.v(y)))
        if self.plain:
            a = torch.softmax(q @ k.transpose(-1, -2) * (d // self.h) ** -0.5, -1) @ v
        else:
            a = F.scaled_dot_product_attention(q, k, v, attn_mask=mask)
        x = x + F.dropout(self.o(a.transpose(1, 2).reshape(batch, time, d)), drop, self.training)
        return x + F.dropout(self.f2(F.gelu(self.f1(self.l2(x)))), drop, self.training)


class Net(nn.Module):
    """Log-mel [batch, 80, frames at 100 Hz] -> scores [batch, frames at 50 Hz, 40]."""

    def __init__(self, outputs: int = 40, d: int = 384, layers: int = LAYERS, heads: int = 6):
        super().__init__()
        self.c1, self.c2 = nn.Conv1d(BANDS, d, 3, padding=1), nn.Conv1d(d, d, 3, stride=2, padding=1)
        self.register_buffer("rates", torch.exp(torch.arange(d // 2) * (-math.log(10000) / (d // 2 - 1))), persistent=False)
        self.b = nn.ModuleList(Block(d, heads) for _ in range(layers))
        self.ln, self.out = nn.LayerNorm(d), nn.Linear(d, outputs)

    def forward(self, mel, lengths=None, drop=0.0):
        return self.out(F.dropout(self.hidden(mel, lengths, drop), drop, self.training))

    def hidden(self, mel, lengths=None, drop=0.0):
        """What the last layer is given: [batch, frames at 50 Hz, 384]."""
        x = F.gelu(self.c1(mel))
        x = F.gelu(self.c2(x)).transpose(1, 2)
        x = x + self.positions(x.shape[1])
        mask = None
        if lengths is not None:
            mask = (torch.arange(x.shape[1], device=x.device)[None] < lengths[:, None])[:, None, None]
        for block in self.b:
            x = block(x, mask, drop)
        return self.ln(x)

    def positions(self, time: int) -> torch.Tensor:
        """[time, d]: sines in the first half, cosines in the second, as Whisper has them."""
        angles = torch.arange(time, device=self.rates.device, dtype=torch.float32)[:, None] * self.rates[None]
        return torch.cat([angles.sin(), angles.cos()], 1)


def start_weights(stored) -> dict[str, torch.Tensor]:
    """The general encoder's weights and, above them, layers that change nothing yet."""
    state = {k: torch.tensor(stored[k].astype(np.float32)) for k in stored if k != "pos"}
    last = f"b.{GENERAL - 1}."
    for layer in range(GENERAL, LAYERS):
        for name in [k for k in state if k.startswith(last)]:
            value = state[name].clone()
            part = name[len(last) :].split(".")[0]
            state[f"b.{layer}.{name[len(last):]}"] = torch.zeros_like(value) if part in ("o", "f2") else value
    return state


def mel_filters() -> torch.Tensor:
    """80 triangular filters on the Slaney mel scale over the 201 bins of a 400-point spectrum at 16 kHz."""

    def to_mel(f):
        f = np.asarray(f, float)
        return np.where(f < 1000, f * 3 / 200, 15 + 27 * np.log(np.maximum(f, 1) / 1000) / np.log(6.4))

    def to_hertz(m):
        return np.where(m < 15, m * 200 / 3, 1000 * np.exp((m - 15) * np.log(6.4) / 27))

    edges = to_hertz(np.linspace(to_mel(0), to_mel(8000), BANDS + 2))
    bins = np.linspace(0, 8000, WINDOW // 2 + 1)
    filters = np.zeros((BANDS, len(bins)))
    for i in range(BANDS):
        low, centre, high = edges[i : i + 3]
        rise, fall = (bins - low) / (centre - low), (high - bins) / (high - centre)
        filters[i] = np.maximum(0, np.minimum(rise, fall)) * 2 / (high - low)
    return torch.tensor(filters, dtype=torch.float32)


def log_mel(samples: torch.Tensor, filters: torch.Tensor, window: torch.Tensor, bands=None) -> torch.Tensor:
    """[batch, samples] -> [batch, 80, frames]; the floor is 8 powers of ten below the loudest, as Whisper has it.

    bands: what is done to the power in the bands before, for training.
    """
    spectrum = torch.stft(samples, WINDOW, HOP, window=window, return_complex=True, center=True, pad_mode="reflect")
    mel = torch.einsum("fk,bkt->bft", filters, spectrum[..., :-1].abs() ** 2)
    if bands is not None:
        mel = bands(mel)
    mel = torch.clamp(mel, min=1e-10).log10()
    mel = torch.maximum(mel, mel.amax((1, 2), keepdim=True) - 8)
    return (mel + 4) / 4
