"""Fine-tunes the encoder with a phone CTC head. Everything, sound and augmentation too, stays on the GPU.

usage: train.py STORES encoder.npz lexicon.json OUT.pt SECONDS [START.pt]      or the same behind `torchrun --nproc-per-node N`

STORES: names of what speak.py wrote, with commas between; NAME*3 counts its clips three times.
Environment: LR (4e-4), DECAY (0.8 a layer down), BATCH (512 on each GPU), SEED (1), COMPILE (0), QUANTISED (0, the share
of the time at the end in which every step runs on weights rounded as the export rounds them), SAVE (seconds between copies:
OUT.pt is the newest, OUT-SECONDS.pt are kept, in half precision: a later session can go on from any).
"""

import json
import math
import os
import queue
import random
import sys
import threading
import time

import numpy as np
import torch
import torch._dynamo
import torch.distributed as dist
import torch.nn.functional as F
from augment import Augment
from model import GENERAL, RATE, Net, log_mel, mel_filters, start_weights

RANK, WORLD = int(os.environ.get("RANK", 0)), int(os.environ.get("WORLD_SIZE", 1))
device = f"cuda:{os.environ.get('LOCAL_RANK', 0)}" if torch.cuda.is_available() else "cpu"
LR, DECAY = float(os.environ.get("LR", 4e-4)), float(os.environ.get("DECAY", 0.8))
BATCH, SEED = int(os.environ.get("BATCH", 512)), int(os.environ.get("SEED", 1))
COMPILE, SAVE = os.environ.get("COMPILE") == "1", float(os.environ.get("SAVE", 1e9))
QUANTISED = float(os.environ.get("QUANTISED", 0))


class Clips:
    """All clips as one line of 16-bit samples on the device; transcripts as phones, a variant drawn each time."""

    def __init__(self, stores: list[str], lexicon: dict):
        self.words, ids = lexicon["words"], {phone: i + 1 for i, phone in enumerate(lexicon["phones"])}
        raw, rows, base = [], [], 0
        for spec in stores:
            store, _, times = spec.partition("*")
            samples = np.fromfile(store + ".raw", "<i2")
            for line in open(store + ".jsonl"):
                row = json.loads(line)
                words = row["text"].split()
                if all(word in self.words for word in words) and 3200 < row["n"] < RATE * 8:
                    said = [[[ids[p] for p in variant] for variant in self.words[word]] for word in words]
                    rows += [(row["off"] + base, row["n"], said)] * int(times or 1)
            raw.append(samples)
            base += len(samples)
        # Batches are of like length; a little disorder keeps the repetitions of one clip out of one batch.
        draw = random.Random(SEED)
        rows.sort(key=lambda row: row[1] + draw.uniform(-800, 800))
        self.said = [row[2] for row in rows]
        self.spans = np.array([row[:2] for row in rows], np.int64)
        self.raw = torch.from_numpy(np.concatenate(raw)).to(device)
        print(len(rows), "clips,", round(self.spans[:, 1].sum() / RATE / 3600, 2), "h", flush=True)

    def phones(self, at: int, draw: random.Random) -> list[int]:
        return [phone for word in self.said[at] for phone in (word[0] if len(word) == 1 else draw.choice(word))]


class Batches:
    """Draws batches ahead of the device in threads: plans of augment.py as pinned tensors, and targets."""

    def __init__(self, clips: Clips, augment: Augment):
        self.clips, self.augment, self.ready = clips, augment, {}
        # Every process draws the same places, so that all of them work on batches of one length, and its own share there.
        self.places = random.Random(SEED)
        self.numbers, self.lock = 0, threading.Lock()
        self.queue: queue.Queue = queue.Queue(6)
        threading.Thread(target=self.run, daemon=True).start()

    def run(self) -> None:
        draw, numbers = random.Random(SEED * 100 + RANK), np.random.default_rng(SEED * 100 + RANK)
        count = len(self.clips.said)
        while True:
            at = self.places.randrange(count)
            size = max(8, min(BATCH, int(BATCH * 45000 / self.clips.spans[at, 1]) // 32 * 32)) * WORLD
            first = max(0, min(at - size // 2, count - size))
            chosen = np.arange(first, min(count, first + size))[RANK::WORLD]
            plan = self.augment.plan(self.clips.spans[chosen], numbers)
            silent = plan.pop("silent")
            targets = [[] if quiet else self.clips.phones(i, draw) for i, quiet in zip(chosen, silent)]
            plan["targets"] = np.array([p for t in targets for p in t], np.int64)
            sizes = [len(t) for t in targets]
            fixed = {k: self.pinned(v) if isinstance(v, np.ndarray) else v for k, v in plan.items()}
            frames = np.minimum(plan["lengths"] // 320, plan["total"] // 320).tolist()
            self.queue.put((fixed, frames, sizes))

    @staticmethod
    def pinned(array: np.ndarray) -> torch.Tensor:
        tensor = torch.from_numpy(np.ascontiguousarray(array))
        return tensor.pin_memory() if device != "cpu" else tensor

    def take(self):
        plan, frames, sizes = self.queue.get()
        return {k: v.to(device, non_blocking=True) if isinstance(v, torch.Tensor) else v for k, v in plan.items()}, frames, sizes


class Between:
    """Every other step runs at weights between the general encoder's and ours, closer to it in the lower layers: the average
    that export.py takes is then a place where the layers above have learned to work. Once `rounding` is set, every step
    runs at weights rounded as the export rounds them: 8 bits, one scale an output; the gradient passes as if they were not."""

    def __init__(self, net: Net, general: dict):
        self.draw = random.Random(SEED)
        named = [(n, p) for n, p in net.named_parameters() if n.startswith("b.") and int(n.split(".")[1]) < GENERAL]
        self.parameters = [p for _, p in named]
        self.general = [general[n].to(device) for n, _ in named]
        self.depths = [(int(n.split(".")[1]) + 1) / GENERAL for n, _ in named]
        self.products = [p for n, p in net.named_parameters() if n.startswith("b.") and p.dim() == 2]
        lower = {id(p) for p in self.parameters}
        self.all = self.parameters + [p for p in self.products if id(p) not in lower]
        self.rounding = False
        self.kept: list = []

    @torch.no_grad()
    def enter(self) -> None:
        between = self.draw.random() < 0.5
        low, high = self.draw.uniform(0, 0.9), self.draw.uniform(0.75, 1)
        if between or self.rounding:
            self.kept = [(p, p.clone()) for p in (self.all if self.rounding else self.parameters)]
        if between:
            for depth in sorted(set(self.depths)):
                here = [i for i, d in enumerate(self.depths) if d == depth]
                weight = max(0.0, 1 - (low + (high - low) * depth))
                torch._foreach_lerp_([self.parameters[i] for i in here], [self.general[i] for i in here], weight)
        if self.rounding:
            for p in self.products:
                step = p.abs().amax(1, keepdim=True) / 127
                p.copy_((p / step).round() * step)

    @torch.no_grad()
    def leave(self) -> None:
        if self.kept:
            torch._foreach_copy_([p for p, _ in self.kept], [kept for _, kept in self.kept])
            self.kept = []


def shared_clock(begun: float) -> float:
    """Seconds since the start, the same number in every process."""
    elapsed = torch.tensor([time.time() - begun], device=device, dtype=torch.float64)
    if WORLD > 1:
        dist.broadcast(elapsed, 0)
    return float(elapsed)


def main(stores: str, encoder: str, lexicon_file: str, out: str, seconds: float, start: str | None) -> None:
    torch.manual_seed(SEED * 100 + RANK)
    if device != "cpu":
        torch.cuda.set_device(device)
    if WORLD > 1:
        dist.init_process_group("nccl" if device != "cpu" else "gloo")
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    torch.backends.cuda.enable_cudnn_sdp(False)  # it plans anew for every shape
    torch._dynamo.config.suppress_errors = True  # a layer that does not compile runs as it is
    clips = Clips(stores.split(","), json.load(open(lexicon_file)))
    general = start_weights(np.load(encoder))
    net = Net()
    torch.manual_seed(SEED)
    torch.nn.init.normal_(net.out.weight, std=0.02)
    torch.nn.init.zeros_(net.out.bias)
    print(net.load_state_dict(general, strict=False))
    if start:
        print(net.load_state_dict({k: v.float() for k, v in torch.load(start).items()}, strict=False))
    torch.manual_seed(SEED * 100 + RANK)
    net.to(device).train()
    # The convolutions stay the general encoder's, which has heard real microphones.
    for conv in (net.c1, net.c2):
        conv.requires_grad_(False)
    augment = Augment(clips.raw, clips.spans, device)
    batches, between = Batches(clips, augment), Between(net, general)
    filters, window = mel_filters().to(device), torch.hann_window(400, device=device)
    # Lower layers learn more slowly: what they know of real voices is worth keeping.
    groups = [{"params": list(net.out.parameters()), "lr": 2e-3 if not start else LR}, {"params": list(net.ln.parameters()), "lr": LR}]
    layers = len(net.b)
    for i, block in enumerate(net.b):
        groups.append({"params": list(block.parameters()), "lr": LR * DECAY ** (layers - 1 - i)})
    optimiser = torch.optim.AdamW(groups, weight_decay=0.02, betas=(0.9, 0.98), fused=device != "cpu")
    base = [group["lr"] for group in groups]
    moving = [p for group in groups for p in group["params"]]
    average = [p.detach().clone() for p in moving]
    names = {id(p): n for n, p in net.named_parameters()}

    def save() -> None:
        if RANK == 0:
            state = {names[id(p)]: a.half().cpu() for p, a in zip(moving, average)}
            for path in (out, f"{out[:-3]}-{round(elapsed)}.pt"):
                torch.save(state, path + ".part")
                os.replace(path + ".part", path)

    begun = saved = time.time()
    step, total, elapsed, mark = 0, torch.zeros((), device=device), 0.0, time.time()
    while elapsed < seconds:
        if step % 10 == 0:
            elapsed = shared_clock(begun)
            part = elapsed / seconds
            rate = min(1, elapsed / (seconds * 0.03)) * (0.5 * (1 + math.cos(math.pi * min(1, part))) * 0.985 + 0.015)
            between.rounding = part > 1 - QUANTISED
            for group, lr in zip(optimiser.param_groups, base):
                group["lr"] = lr * rate
        if COMPILE and step == 100:
            for block in net.b:
                block.compile(dynamic=True)
        plan, frames, sizes = batches.take()
        with torch.no_grad():
            mel = augment.mask(log_mel(augment(plan), filters, window, augment.bands))
        between.enter()
        with torch.autocast(device.split(":")[0], dtype=torch.bfloat16):
            scores = net(mel, (plan["lengths"] // 320).clamp(max=mel.shape[2] // 2), drop=0.1)
        logp = scores.float().log_softmax(-1).transpose(0, 1)
        loss = F.ctc_loss(logp, plan["targets"], tuple(frames), tuple(sizes), zero_infinity=True)
        loss.backward()
        between.leave()
        gradients = [p.grad for p in moving]
        if WORLD > 1:
            flat = torch.cat([g.reshape(-1) for g in gradients])
            dist.all_reduce(flat)
            torch._foreach_copy_(gradients, [f.view_as(g) for f, g in zip((flat / WORLD).split([g.numel() for g in gradients]), gradients)])
        torch.nn.utils.clip_grad_norm_(moving, 1.0, foreach=True)
        optimiser.step()
        optimiser.zero_grad(set_to_none=True)
        step += 1
        with torch.no_grad():
            keep = min(0.9995, (1 + step) / (20 + step))
            torch._foreach_lerp_(average, moving, 1 - keep)
        total += loss.detach()
        if step in (20, 90) or step % 200 == 0:
            if RANK == 0:
                done = step % 200 or 200
                print(step, round(elapsed), round(float(total) / (done if step > 20 else 20), 4), f"{(time.time() - mark) * 1000 / done:.0f} ms", flush=True)
            if step % 200 == 0:
                total.zero_()
                mark = time.time()
                if time.time() - saved > SAVE:
                    save()
                    saved = time.time()
    save()
    print("saved", out, "after", step, "steps", flush=True)
    if WORLD > 1:
        dist.destroy_process_group()


main(*sys.argv[1:5], float(sys.argv[5]), sys.argv[6] if len(sys.argv) > 6 else None)
