"""What the wood does to a voice: tempo and pitch, distance, echo, wind, birds, engines, steps, other people, a phone's
microphone. All on the device, a batch at a time."""

import math
import random

import torch
import torch.nn.functional as F
from model import RATE


class Augment:
    def __init__(self, raw: torch.Tensor, spans: list[tuple[int, int]], device: str):
        self.raw, self.spans, self.device = raw, spans, device

    def uniform(self, rows: int, low: float, high: float) -> torch.Tensor:
        return torch.rand(rows, 1, device=self.device) * (high - low) + low

    def chance(self, rows: int, p: float) -> torch.Tensor:
        return (torch.rand(rows, 1, device=self.device) < p).float()

    def gather(self, spans, lead, stretch, total: int) -> torch.Tensor:
        """Rows of samples: each clip from `lead` on, played `stretch` times as fast, silence around it."""
        off = torch.tensor([s[0] for s in spans], device=self.device)[:, None]
        size = torch.tensor([s[1] for s in spans], device=self.device)[:, None]
        place = (torch.arange(total, device=self.device)[None] - lead[:, None]) * stretch[:, None]
        inside = (place >= 0) & (place < size - 1)
        place = place.clamp(min=0).minimum((size - 2).float())
        whole = place.floor().long()
        part = place - whole
        at = off + whole
        samples = self.raw[at].float() * (1 - part) + self.raw[at + 1].float() * part
        return samples * inside / 32768

    def noise(self, rows: int, total: int) -> torch.Tensor:
        """Coloured and gusting wind, hum and engines, chirping birds, footsteps; each row its own mixture."""
        t = torch.arange(total, device=self.device)[None] / RATE
        spectrum = torch.fft.rfft(torch.randn(rows, total, device=self.device))
        f = torch.linspace(1, 8000, spectrum.shape[1], device=self.device)[None]
        sound = torch.fft.irfft(spectrum * (f / 500 + 0.05).pow(-self.uniform(rows, -0.1, 1.5)), n=total)
        gust = F.interpolate(torch.rand(rows, 1, max(2, total // 8000), device=self.device), size=total, mode="linear", align_corners=True)[:, 0]
        sound = sound * (0.2 + gust**2 * 2)
        sound = sound / sound.std(1, keepdim=True)
        wobble = self.uniform(rows, 35, 220) * (1 + 0.03 * torch.sin(2 * math.pi * self.uniform(rows, 0.2, 6) * t))
        phase = 2 * math.pi * torch.cumsum(wobble.expand(rows, total), 1) / RATE
        engine = sum(torch.sin(phase * h + h) / h ** 0.8 for h in (1, 2, 3, 4, 5, 7, 9, 12))
        sound = sound + engine * self.chance(rows, 0.22) * self.uniform(rows, 0.1, 1.6)
        for _ in range(2):
            rate = self.uniform(rows, 2, 14)
            sweep = self.uniform(rows, 1600, 6000) * t + self.uniform(rows, 0, 700) * torch.sin(2 * math.pi * rate * t) / (2 * math.pi * rate)
            song = torch.sin(2 * math.pi * sweep) * (torch.sin(2 * math.pi * self.uniform(rows, 0.3, 5) * t + self.uniform(rows, 0, 6)) > self.uniform(rows, -0.2, 0.8))
            sound = sound + song * self.chance(rows, 0.2) * self.uniform(rows, 0.2, 1.8)
        beat = ((t * self.uniform(rows, 1, 3.5) + self.uniform(rows, 0, 1)) % 1.0)
        steps = torch.randn(rows, total, device=self.device) * torch.exp(-beat * self.uniform(rows, 8, 40))
        sound = sound + steps * self.chance(rows, 0.2) * self.uniform(rows, 0.5, 3)
        return sound / sound.std(1, keepdim=True)

    def babble(self, rows: int, total: int, draw: random.Random) -> torch.Tensor:
        voices = 0
        for _ in range(3):
            spans = [self.spans[draw.randrange(len(self.spans))] for _ in range(rows)]
            lead = (torch.rand(rows, device=self.device) - 0.5) * total * 0.6
            voices = voices + self.gather(spans, lead, torch.ones(rows, device=self.device), total)
        return voices / (voices.std(1, keepdim=True) + 1e-6)

    def __call__(self, spans, draw: random.Random):
        """-> samples [rows, n], lengths in samples, and which rows were left without speech."""
        rows, dev = len(spans), self.device
        # Clips carry a tenth of a second of rest; half of them are cut close to the sound.
        trimmed = []
        for off, n in spans:
            a, b = (int(draw.uniform(800, 1760)), int(draw.uniform(800, 1760))) if draw.random() < 0.5 else (0, 0)
            trimmed.append((off + a, max(1600, n - a - b)))
        stretch = [draw.uniform(0.8, 1.25) for _ in spans]
        lead = [draw.choice([0.0, draw.uniform(0, 0.45)]) * RATE for _ in spans]
        tail = [draw.choice([0.02, draw.uniform(0, 0.45)]) * RATE for _ in spans]
        sizes = [int(a + n / s + b) for (_, n), s, a, b in zip(trimmed, stretch, lead, tail)]
        total = (max(sizes) + 639) // 640 * 640
        x = self.gather(trimmed, torch.tensor(lead, device=dev), torch.tensor(stretch, device=dev), total)
        lengths = torch.tensor(sizes, device=dev)
        silent = [draw.random() < 0.04 for _ in spans]
        level = (x.pow(2).sum(1, keepdim=True) / lengths[:, None]).sqrt() + 1e-6
        x = x * (1 - torch.tensor(silent, device=dev).float())[:, None]
        # Echo of trunks and ground.
        echo = torch.rand(rows, device=dev) < 0.3
        if echo.any():
            n, many = 4000, int(echo.sum())
            decay = torch.exp(-6.9 * torch.arange(n, device=dev)[None] / RATE / self.uniform(many, 0.04, 0.34))
            response = torch.randn(many, n, device=dev) * decay * 0.12
            response[:, 0] = 1
            size = total + n
            x[echo] = torch.fft.irfft(torch.fft.rfft(x[echo], n=size) * torch.fft.rfft(response, n=size), n=size)[:, :total]
        snr = self.uniform(rows, -6, 26)
        quiet = self.chance(rows, 0.12)
        snr = snr * (1 - quiet) + 60 * quiet
        others = self.chance(rows, 0.12)
        noise = self.noise(rows, total) * (1 - others) + self.babble(rows, total, draw) * others
        # Rows without speech get noise alone, never other people: those are for the grammar to refuse.
        noise = torch.where(torch.tensor(silent, device=dev)[:, None] & (others > 0), self.noise(rows, total), noise)
        x = x + noise * level * 10 ** (-snr / 20)
        # A narrow microphone or a telephone: nothing above 3.2 to 4 kHz, sometimes little below 300 Hz.
        narrow = torch.rand(rows, device=dev) < 0.25
        if narrow.any():
            spectrum = torch.fft.rfft(x[narrow])
            f = torch.linspace(0, 8000, spectrum.shape[1], device=dev)[None]
            many = int(narrow.sum())
            keep = torch.sigmoid((self.uniform(many, 3200, 4000) - f) / 60) * torch.sigmoid((f - self.uniform(many, -200, 300)) / 40)
            x[narrow] = torch.fft.irfft(spectrum * keep, n=total)
        x = x * 10 ** self.uniform(rows, -1.2, 0.4)
        x = torch.where(self.chance(rows, 0.1) > 0, x.clamp(-0.25, 0.25), x.clamp(-1, 1))
        return x + torch.randn_like(x) * 10 ** self.uniform(rows, -5.5, -3.5), lengths, silent

    def equaliser(self, rows: int) -> torch.Tensor:
        """A random tone control over the mel bands, as a factor of power."""
        bands = torch.linspace(0, 1, 80, device=self.device)[None]
        decibels = 0
        for k, spread in ((1, 5), (2, 3), (4, 2)):
            swing = torch.randn(rows, 1, device=self.device) * spread
            decibels = decibels + swing * torch.cos(math.pi * k * bands + self.uniform(rows, 0, 6.28))
        return (10 ** (decibels / 10))[:, :, None]

    def mask(self, mel: torch.Tensor) -> torch.Tensor:
        """Two narrow bands and two short times are blanked out."""
        rows, bands, frames = mel.shape
        band = torch.arange(bands, device=self.device)[None, :, None]
        time = torch.arange(frames, device=self.device)[None, None]
        for _ in range(2):
            low = torch.randint(0, 72, (rows, 1, 1), device=self.device)
            mel = mel.masked_fill((band >= low) & (band < low + torch.randint(0, 9, (rows, 1, 1), device=self.device)), 0)
            at = (torch.rand(rows, 1, 1, device=self.device) * frames).long()
            mel = mel.masked_fill((time >= at) & (time < at + torch.randint(0, 8, (rows, 1, 1), device=self.device)), 0)
        return mel
