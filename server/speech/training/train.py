"""Fine-tunes the encoder with a phone CTC head. Everything, sound and augmentation too, stays on one GPU.

usage: train.py STORES encoder.npz lexicon.json OUT.pt SECONDS [START.pt]

STORES: names of what speak.py wrote, with commas between; NAME*3 counts its clips three times.
Environment: LR (1.5e-4), DECAY (0.75 a layer down), BATCH (192), SEED (1).
"""

import json
import math
import os
import random
import sys
import time

import numpy as np
import torch
import torch.nn.functional as F
from augment import Augment
from model import RATE, Net, log_mel, mel_filters

device = "cuda" if torch.cuda.is_available() else "cpu"
LR, DECAY = float(os.environ.get("LR", 1.5e-4)), float(os.environ.get("DECAY", 0.75))
BATCH, SEED = int(os.environ.get("BATCH", 192)), int(os.environ.get("SEED", 1))


class Clips:
    """All clips as one line of 16-bit samples on the device; transcripts as phones, a variant drawn each time."""

    def __init__(self, stores: list[str], lexicon: dict):
        self.words, ids = lexicon["words"], {phone: i + 1 for i, phone in enumerate(lexicon["phones"])}
        raw, self.rows, base = [], [], 0
        for spec in stores:
            store, _, times = spec.partition("*")
            samples = np.fromfile(store + ".raw", "<i2")
            for line in open(store + ".jsonl"):
                row = json.loads(line)
                words = row["text"].split()
                if all(word in self.words for word in words) and 3200 < row["n"] < RATE * 8:
                    said = [[[ids[p] for p in variant] for variant in self.words[word]] for word in words]
                    self.rows += [(row["off"] + base, row["n"], said)] * int(times or 1)
            raw.append(samples)
            base += len(samples)
        self.rows.sort(key=lambda row: row[1])
        self.raw = torch.from_numpy(np.concatenate(raw)).to(device)
        print(len(self.rows), "clips,", round(sum(row[1] for row in self.rows) / RATE / 3600, 2), "h", flush=True)

    def phones(self, at: int, draw: random.Random) -> list[int]:
        return [phone for word in self.rows[at][2] for phone in draw.choice(word)]


def main(stores: str, encoder: str, lexicon_file: str, out: str, seconds: float, start: str | None) -> None:
    torch.manual_seed(SEED)
    draw = random.Random(SEED)
    torch.backends.cuda.matmul.allow_tf32 = True
    clips = Clips(stores.split(","), json.load(open(lexicon_file)))
    net = Net()
    stored = np.load(encoder)
    print(net.load_state_dict({k: torch.tensor(stored[k].astype(np.float32)) for k in stored.files}, strict=False))
    if start:
        net.load_state_dict({k: v.float() for k, v in torch.load(start).items()}, strict=False)
    net.to(device).train()
    augment = Augment(clips.raw, [(row[0], row[1]) for row in clips.rows], device)
    filters, window = mel_filters().to(device), torch.hann_window(400, device=device)
    # Lower layers learn more slowly, the convolutions slowest: what they know of real voices is worth keeping.
    head = 2e-3 if not start else 2e-4
    groups = [{"params": net.out.parameters(), "lr": head}, {"params": net.ln.parameters(), "lr": LR}]
    layers = len(net.b)
    for i, block in enumerate(net.b):
        groups.append({"params": block.parameters(), "lr": LR * DECAY ** (layers - 1 - i)})
    groups.append({"params": [*net.c1.parameters(), *net.c2.parameters()], "lr": LR * DECAY ** (layers + 3)})
    optimiser = torch.optim.AdamW(groups, weight_decay=0.02, betas=(0.9, 0.98))
    base = [group["lr"] for group in groups]
    average = {k: v.clone() for k, v in net.state_dict().items()}
    begun, step, total = time.time(), 0, 0.0
    count = len(clips.rows)
    while (elapsed := time.time() - begun) < seconds:
        part = elapsed / seconds
        rate = min(1, elapsed / (seconds * 0.04)) * (0.5 * (1 + math.cos(math.pi * part)) * 0.98 + 0.02)
        for group, lr in zip(optimiser.param_groups, base):
            group["lr"] = lr * rate
        # Clips of like length stand together; longer ones in smaller batches.
        at = draw.randrange(count)
        size = max(24, min(BATCH, int(BATCH * 40000 / clips.rows[at][1])))
        chosen = range(max(0, at - size), max(0, at - size) + min(size, count))
        samples, lengths, silent = augment([clips.rows[i][:2] for i in chosen], draw)
        targets = [[] if silent[n] else clips.phones(i, draw) for n, i in enumerate(chosen)]
        mel = augment.mask(log_mel(samples, filters, window, augment.equaliser(len(targets))))
        frames = (lengths // 320).clamp(max=mel.shape[2] // 2)
        with torch.autocast(device, dtype=torch.bfloat16):
            scores = net(mel, frames, drop=0.1)
        logp = scores.float().log_softmax(-1).transpose(0, 1)
        sizes = torch.tensor([len(t) for t in targets], device=device)
        flat = torch.tensor([p for t in targets for p in t], device=device)
        loss = F.ctc_loss(logp, flat, frames, sizes, zero_infinity=True)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        optimiser.step()
        step += 1
        with torch.no_grad():
            keep = min(0.9995, (1 + step) / (20 + step))
            torch._foreach_lerp_(list(average.values()), list(net.state_dict().values()), 1 - keep)
        total += loss.detach()
        if step % 200 == 0:
            print(step, round(elapsed), round(float(total) / 200, 4), flush=True)
            total = 0.0
    torch.save({k: v.half().cpu() for k, v in average.items() if k != "pos"}, out)
    print("saved", out, "after", step, "steps", flush=True)


main(*sys.argv[1:5], float(sys.argv[5]), sys.argv[6] if len(sys.argv) > 6 else None)
