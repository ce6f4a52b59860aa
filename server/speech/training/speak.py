"""Speaks the rows of a manifest, all cores, into one raw store of 16 kHz samples: OUT.raw and OUT.jsonl.

usage: speak.py ROWS.jsonl OUT SECONDS [WORKERS]

Stops after SECONDS. Environment: KOKORO (the int8 ONNX file, spoken by kokoro.py), VOICES (folder of NAME.npy), VOCAB (vocab.json).
"""

import io
import json
import multiprocessing
import os
import subprocess
import sys
import time
import wave
from math import gcd

import numpy as np

RATE = 16000
state: dict = {}


def resample(samples: np.ndarray, rate: int) -> np.ndarray:
    if rate == RATE:
        return samples
    from scipy.signal import resample_poly

    divisor = gcd(rate, RATE)
    return resample_poly(samples, RATE // divisor, rate // divisor).astype(np.float32)


def style(mixture: str, length: int) -> np.ndarray:
    """The style vector of a voice, or of a mixture NAME:WEIGHT+NAME:WEIGHT, for a text of so many phones.

    Behind a bar stands whose melody and tempo it takes: the second half of the vector.
    """
    mixture, bar, melody = mixture.partition("|")
    if bar:
        return np.concatenate([style(mixture, length)[:128], style(melody, length)[128:]])
    total = 0
    for part in mixture.split("+"):
        name, _, weight = part.partition(":")
        table = state["voices"].setdefault(name, None)
        if table is None:
            table = state["voices"][name] = np.load(f"{os.environ['VOICES']}/{name}.npy").astype(np.float32)
        total = total + table[min(length, len(table) - 1)] * float(weight or 1)
    return total


def kokoro(row: dict) -> tuple[np.ndarray, int]:
    if "net" not in state:
        import torch
        from kokoro import Kokoro

        torch.set_num_threads(1)
        state["net"] = Kokoro(os.environ["KOKORO"], "cuda" if torch.cuda.is_available() else "cpu")
        state["vocab"] = json.load(open(os.environ["VOCAB"]))["vocab"]
        state["voices"] = {}
    tokens = [state["vocab"][c] for c in row["ipa"] if c in state["vocab"]]
    return state["net"](tokens, style(row["voice"], len(tokens)), row["speed"]), 24000


def from_wav(data: bytes) -> tuple[np.ndarray, int]:
    with wave.open(io.BytesIO(data)) as file:
        rate = file.getframerate()
    at = data.find(b"data") + 8  # a piped header does not know the length
    return np.frombuffer(data[at : len(data) - (len(data) - at) % 2], "<i2").astype(np.float32) / 32768, rate


def flite(row: dict) -> tuple[np.ndarray, int]:
    path = f"/dev/shm/flite-{os.getpid()}.wav"
    subprocess.run(
        ["flite", "-voice", row["voice"], "--setf", f"duration_stretch={1 / row['speed']:.3f}",
         "--setf", f"int_f0_target_mean={row['pitch']}", "-t", row["text"], path], check=True, capture_output=True,
    )
    return from_wav(open(path, "rb").read())


def espeak(row: dict) -> tuple[np.ndarray, int]:
    said = subprocess.run(
        ["espeak-ng", "--stdout", "-v", row["voice"], "-s", str(int(165 * row["speed"])), "-p", str(row["pitch"]), row["text"]],
        check=True, capture_output=True,
    )
    return from_wav(said.stdout)


def speak(row: dict) -> tuple[dict, bytes | None]:
    try:
        samples, rate = {"kokoro": kokoro, "flite": flite, "espeak": espeak}[row["engine"]](row)
        samples = resample(samples, rate)[: RATE * 9]
        samples = samples / (np.abs(samples).max() + 1e-6) * 0.5
        loud = np.where(np.abs(samples) > 0.01)[0]
        # A tenth of a second of rest at both ends.
        samples = samples[max(0, loud[0] - 1600) : loud[-1] + 1600]
        return row, (samples * 32767).astype("<i2").tobytes()
    except Exception as problem:  # one bad clip must not stop thousands
        return {**row, "problem": str(problem)[:200]}, None


def main(path: str, out: str, seconds: float, workers: int) -> None:
    rows = [json.loads(line) for line in open(path)]
    begun, at, made, failed = time.time(), 0, 0, ""
    # A process that was forked cannot use the GPU of its parent: each starts afresh.
    fresh = multiprocessing.get_context("spawn")
    with open(out + ".raw", "wb") as raw, open(out + ".jsonl", "w") as index, fresh.Pool(workers) as pool:
        for row, data in pool.imap_unordered(speak, rows, chunksize=4):
            if data is None:
                failed = row["problem"]
                continue
            raw.write(data)
            index.write(json.dumps({"text": row["text"], "voice": row["voice"], "off": at, "n": len(data) // 2}) + "\n")
            at += len(data) // 2
            made += 1
            if time.time() - begun > seconds:
                pool.terminate()
                break
    print(f"{out}: {made} clips, {at / RATE / 3600:.2f} h, {time.time() - begun:.0f} s {failed}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], float(sys.argv[3]), int(sys.argv[4]) if len(sys.argv) > 4 else os.cpu_count() or 1)
