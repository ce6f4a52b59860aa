"""What the wood does to a voice: tempo and pitch, distance, echo, wind, birds, engines, steps, other people, a phone's
microphone, in the open or in a chest pocket. The chances are drawn on the processor (`plan`, in a thread of its own), all sound is made on the device, a batch
at a time; nothing in between waits for the device.
"""

import math

import numpy as np
import torch
import torch.nn.functional as F
from model import RATE

# Lengths are multiples of 16 frames of the net with small prime factors: Fourier transforms of such lengths are fast.
STEP = 5120
SIZES = np.array([STEP * k for k in range(1, 64) if all(k % p for p in (11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61))])
REST = 1600  # samples of rest that speak.py leaves at both ends
ECHO = 5000


class Augment:
    def __init__(self, raw: torch.Tensor, spans: np.ndarray, device: str):
        """raw: 16-bit samples of all clips; spans [clips, 2]: where each begins, and its samples."""
        self.raw, self.spans, self.device = raw, spans, device

    def plan(self, spans: np.ndarray, draw: np.random.Generator) -> dict:
        """Draws what will be done to each clip -> arrays of one number a row, and the total of samples."""
        rows = len(spans)
        # Exact shares keep the shapes few, and with them the plans of the Fourier transforms.
        narrow = draw.permutation(rows) < round(0.3 * rows)
        silent = draw.random(rows) < 0.04
        # Half of the clips are cut close to the sound; of the telephone's most, even into the sound.
        close = draw.random(rows) < np.where(narrow, 0.7, 0.45)
        reach = np.where(narrow, REST + 320, REST + 160)
        cut = (close * draw.uniform(REST / 2, reach, (2, rows))).astype(np.int64)
        size = np.maximum(REST, spans[:, 1] - cut[0] - cut[1])
        stretch = draw.uniform(0.8, 1.25, rows)
        lead = RATE * np.where(draw.random(rows) < 0.5, 0.0, draw.uniform(0, 0.45, rows))
        tail = RATE * np.where(draw.random(rows) < 0.5, 0.02, draw.uniform(0, 0.45, rows))
        lengths = (lead + size / stretch + tail).astype(np.int64)
        total = int(SIZES[np.searchsorted(SIZES, min(lengths.max(), SIZES[-1]))])
        others = (draw.random(rows) < 0.16) & ~silent
        snr = np.where(draw.random(rows) < 0.45, draw.uniform(-1, 12, rows), draw.uniform(-6, 26, rows))
        snr = np.where(draw.random(rows) < 0.1, 60, snr)
        chatter = np.where(others)[0]
        many = 6

        def some(share: float) -> np.ndarray:
            return draw.permutation(rows)[: round(share * rows)]

        return {
            "total": total, "off": spans[:, 0] + cut[0], "size": size, "stretch": stretch, "lead": lead, "lengths": lengths,
            "speech": (~silent).astype(np.float32), "snr": snr, "narrow": draw.permutation(np.where(narrow)[0]), "chatter": chatter,
            "echo": some(0.3), "engine": some(0.26), "song": some(0.2), "second": some(0.2), "steps": some(0.2),
            "gale": some(0.1), "pocket": some(0.15), "silent": silent,
            "voices": self.spans[draw.integers(0, len(self.spans), many * len(chatter))],
            "heard": (np.arange(many)[:, None] < draw.integers(2, many + 1, len(chatter))[None]).ravel().astype(np.float32),
        }

    def uniform(self, rows: int, low: float, high: float) -> torch.Tensor:
        return torch.rand(rows, 1, device=self.device) * (high - low) + low

    def chance(self, rows: int, p: float) -> torch.Tensor:
        return (torch.rand(rows, 1, device=self.device) < p).float()

    def gather(self, off, size, lead, stretch, total: int) -> torch.Tensor:
        """Rows of samples: each clip from `lead` on, played `stretch` times as fast, silence around it."""
        place = (torch.arange(total, device=self.device)[None] - lead[:, None].float()) * stretch[:, None].float()
        inside = (place >= 0) & (place < size[:, None] - 1)
        place = place.clamp(min=0).minimum((size[:, None] - 2).float())
        whole = place.floor()
        part = place - whole
        at = off[:, None] + whole.long()
        return torch.lerp(self.raw[at].float(), self.raw[at + 1].float(), part) * inside / 32768

    def noise(self, rows: int, total: int, plan: dict) -> torch.Tensor:
        """Coloured, steady or gusting wind, hum and engines, chirping birds, footsteps; each row its own mixture."""
        t = torch.arange(total, device=self.device)[None] / RATE
        spectrum = torch.fft.rfft(torch.randn(rows, total, device=self.device))
        f = torch.linspace(1, 8000, spectrum.shape[1], device=self.device)[None]
        sound = torch.fft.irfft(spectrum * (f / 500 + 0.05).pow(-self.uniform(rows, -0.1, 1.5)), n=total)
        sound = sound * (1 + self.chance(rows, 0.6) * (self.gusts(rows, total) * 2 - 0.8))
        sound = sound / sound.std(1, keepdim=True)
        # Only the rows that have one: all of this is many passes over long rows.
        if many := len(plan["engine"]):
            wobble = self.uniform(many, 35, 220) * (1 + 0.03 * torch.sin(2 * math.pi * self.uniform(many, 0.2, 6) * t))
            phase = 2 * math.pi * torch.cumsum(wobble, 1) / RATE
            slope = self.uniform(many, 0.4, 1.2)
            engine = sum(torch.sin(phase * h + h) * h**-slope for h in (1, 2, 3, 4, 5, 7, 9, 12))
            sound[plan["engine"]] += engine * 10 ** self.uniform(many, -1, 0.8)
        for birds in ("song", "second"):
            if many := len(plan[birds]):
                rate = self.uniform(many, 2, 14)
                sweep = self.uniform(many, 1600, 6000) * t + self.uniform(many, 0, 700) * torch.sin(2 * math.pi * rate * t) / (2 * math.pi * rate)
                loud = torch.sin(2 * math.pi * self.uniform(many, 0.3, 5) * t + self.uniform(many, 0, 6)) > self.uniform(many, -0.2, 0.9)
                sound[plan[birds]] += torch.sin(2 * math.pi * sweep) * loud * 10 ** self.uniform(many, -0.7, 0.9)
        if many := len(plan["steps"]):
            beat = (t * self.uniform(many, 1, 3.5) + self.uniform(many, 0, 1)) % 1.0
            steps = torch.randn(many, total, device=self.device) * torch.exp(-beat * self.uniform(many, 8, 40))
            sound[plan["steps"]] += steps * self.uniform(many, 0.5, 4)
        return sound / sound.std(1, keepdim=True)

    def gusts(self, rows: int, total: int, each: int = 8000) -> torch.Tensor:
        """[rows, total] from 0 to 1: how strong the wind is, another strength every `each` samples."""
        swell = F.interpolate(torch.rand(rows, 1, max(2, total // each), device=self.device), size=total, mode="linear", align_corners=True)
        return swell[:, 0] ** 2

    def gale(self, x: torch.Tensor, level: torch.Tensor, rows: torch.Tensor) -> torch.Tensor:
        """Wind on the microphone in these rows: low, many times louder than the voice, until the microphone clips."""
        if many := len(rows):
            total = x.shape[1]
            spectrum = torch.fft.rfft(torch.randn(many, total, device=self.device))
            f = torch.linspace(0, 8000, spectrum.shape[1], device=self.device)[None]
            wind = torch.fft.irfft(spectrum / (1 + (f / self.uniform(many, 40, 200)) ** 2), n=total)
            wind = wind / wind.std(1, keepdim=True) * self.gusts(many, total, 5000) * 10 ** self.uniform(many, 0, 1)
            ceiling = level[rows] * self.uniform(many, 3, 10)
            x[rows] = (x[rows] + wind * level[rows]).clamp(-ceiling, ceiling)
        return x

    def pocket(self, x: torch.Tensor, level: torch.Tensor, rows: torch.Tensor) -> torch.Tensor:
        """The phone in a chest pocket in these rows: high sounds are lost in the cloth, and the cloth rustles."""
        if many := len(rows):
            total = x.shape[1]
            spectrum = torch.fft.rfft(x[rows])
            f = torch.linspace(0, 8000, spectrum.shape[1], device=self.device)[None]
            muffled = spectrum * (1 + (f / self.uniform(many, 500, 2500)) ** 2).pow(-self.uniform(many, 0.3, 1))
            cloth = torch.fft.rfft(torch.randn(many, total, device=self.device)) * torch.sigmoid((f - self.uniform(many, 200, 2500)) / 200)
            rustle = torch.fft.irfft(cloth, n=total) * self.gusts(many, total, 1600) ** 2
            rustle = rustle / (rustle.std(1, keepdim=True) + 1e-6) * 10 ** self.uniform(many, -1.5, 0.1)
            x[rows] = torch.fft.irfft(muffled, n=total) + rustle * level[rows] * self.chance(many, 0.7)
        return x

    def babble(self, spans: torch.Tensor, heard: torch.Tensor, rows: int, total: int) -> torch.Tensor:
        """Two to six other people at once; rows [rows * people] of spans, people outermost."""
        many = len(spans)
        lead = (torch.rand(many, device=self.device) - 0.5) * total * 0.8
        voices = self.gather(spans[:, 0], spans[:, 1], lead, torch.ones(many, device=self.device), total) * heard[:, None]
        level = voices.std(1, keepdim=True) + 1e-4
        mixed = (voices / level * 10 ** self.uniform(many, -0.35, 0.15)).view(-1, rows, total).sum(0)
        return mixed / (mixed.std(1, keepdim=True) + 1e-6)

    def telephone(self, x: torch.Tensor, rows: torch.Tensor) -> torch.Tensor:
        """A narrow microphone in these rows: nothing above 3.2 to 4 kHz, sometimes little below 300 Hz or 8 bits by the mu-law."""
        if many := len(rows):
            spectrum = torch.fft.rfft(x[rows])
            f = torch.linspace(0, 8000, spectrum.shape[1], device=self.device)[None]
            keep = torch.sigmoid((self.uniform(many, 3200, 4000) - f) / 60) * torch.sigmoid((f - self.uniform(many, -200, 300)) / 40)
            voice = torch.fft.irfft(spectrum * keep, n=x.shape[1]).clamp(-1, 1)
            law = voice.sign() * torch.log1p(255 * voice.abs()) / math.log(256)
            law = (law * 127).round() / 127
            coded = law.sign() * torch.expm1(law.abs() * math.log(256)) / 255
            x[rows] = torch.where(self.chance(many, 0.4) > 0, coded, voice)
        return x

    def __call__(self, plan: dict) -> torch.Tensor:
        """plan: what `plan` drew, its arrays as tensors on the device -> samples [rows, total]."""
        rows, total, dev = len(plan["off"]), plan["total"], self.device
        x = self.gather(plan["off"], plan["size"], plan["lead"], plan["stretch"], total)
        level = (x.pow(2).sum(1, keepdim=True) / plan["lengths"][:, None]).sqrt() + 1e-6
        x = x * plan["speech"][:, None]
        if len(echo := plan["echo"]):  # of trunks and ground
            many = len(echo)
            decay = torch.exp(-6.9 * torch.arange(ECHO, device=dev)[None] / RATE / self.uniform(many, 0.04, 0.45))
            response = torch.randn(many, ECHO, device=dev) * decay * self.uniform(many, 0.03, 0.2)
            response[:, 0] = 1
            size = total + STEP
            x[echo] = torch.fft.irfft(torch.fft.rfft(x[echo], n=size) * torch.fft.rfft(response, n=size), n=size)[:, :total]
        # Half of the narrow recordings meet the noise later, in its full width.
        x = self.telephone(x, plan["narrow"][: len(plan["narrow"]) // 2])
        noise = self.noise(rows, total, plan)
        # Rows without speech get noise alone, never other people: those are for the grammar to refuse.
        if len(chatter := plan["chatter"]):
            noise[chatter] = self.babble(plan["voices"], plan["heard"], len(chatter), total) + noise[chatter] * self.uniform(len(chatter), 0, 0.3)
        x = x + noise * level * 10 ** (-plan["snr"].float()[:, None] / 20)
        x = self.gale(x, level, plan["gale"])
        x = self.pocket(x, level, plan["pocket"])
        x = self.telephone(x, plan["narrow"][len(plan["narrow"]) // 2 :])
        x = x * 10 ** self.uniform(rows, -1.2, 0.4)
        x = torch.where(self.chance(rows, 0.1) > 0, x.clamp(-0.25, 0.25), x.clamp(-1, 1))
        return x + torch.randn_like(x) * 10 ** self.uniform(rows, -5.5, -3.5)

    def bands(self, mel: torch.Tensor) -> torch.Tensor:
        """Power in the mel bands [rows, 80, frames]: a random tone control; half are shifted to a longer or shorter throat."""
        rows, count = mel.shape[0], mel.shape[1]
        band = torch.arange(count, device=self.device)[None].float()
        place = (band * (1 + self.chance(rows, 0.5) * self.uniform(rows, -0.11, 0.11))).clamp(max=count - 1.001)
        low = place.floor()
        index = low.long()[:, :, None].expand(-1, -1, mel.shape[2])
        mel = torch.lerp(mel.gather(1, index), mel.gather(1, index + 1), (place - low)[:, :, None])
        decibels = 0
        for k, spread in ((1, 5), (2, 3), (4, 2)):
            swing = torch.randn(rows, 1, device=self.device) * spread
            decibels = decibels + swing * torch.cos(math.pi * k * band / (count - 1) + self.uniform(rows, 0, 6.28))
        return mel * (10 ** (decibels / 10))[:, :, None]

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
