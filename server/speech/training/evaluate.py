"""Judges weights by recordings of people before they are exported: phone errors, and digits against a list of ten words.

usage: evaluate.py encoder.npz lexicon.json SET ... -- MIXTURE ...

SET: NAME=FILE.tsv, lines of a WAV path, a tab and its words; NAME starting with "digits" is scored against ten words.
MIXTURE: WEIGHT=FILE.pt as export.py has it, several with commas between, or an exported FILE.onnx. The average is chosen on
sets that are not the ones reported.
"""

import json
import sys
import wave

import numpy as np
import torch
from export import PHONES, averaged
from model import RATE, log_mel, mel_filters

DIGITS = "zero one two three four five six seven eight nine".split()
filters, window = mel_filters(), torch.hann_window(400)


def sound(path: str) -> torch.Tensor:
    from scipy.signal import resample_poly

    with wave.open(path) as file:
        rate, data = file.getframerate(), file.readframes(file.getnframes())
    samples = np.frombuffer(data, "<i2").astype(np.float32) / 32768
    return torch.from_numpy(samples if rate == RATE else resample_poly(samples, RATE, rate).astype(np.float32))


def noisy(samples: torch.Tensor, decibels: float, seed: int) -> torch.Tensor:
    """Pink noise so many decibels below the speech."""
    draw = torch.Generator().manual_seed(seed)
    spectrum = torch.fft.rfft(torch.randn(len(samples), generator=draw))
    noise = torch.fft.irfft(spectrum / torch.arange(1, len(spectrum) + 1).sqrt(), n=len(samples))
    return samples + noise / noise.std() * samples.std() * 10 ** (-decibels / 20)


class Exported:
    """An ONNX file in the place of a net; it ends in log-probabilities already, which a second log-softmax keeps."""

    def __init__(self, path: str):
        import onnxruntime

        self.session = onnxruntime.InferenceSession(path, providers=["CPUExecutionProvider"])

    def __call__(self, mel: torch.Tensor) -> torch.Tensor:
        return torch.from_numpy(self.session.run(None, {"input_features": mel.numpy()})[0])


def distance(a: list, b: list) -> int:
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        before, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (x != y))
    return row[-1]


def scores(net, samples: torch.Tensor) -> torch.Tensor:
    mel = log_mel(samples[None], filters, window)
    return net(mel[:, :, : mel.shape[2] // 2 * 2]).log_softmax(-1)[0]


def phones(logp: torch.Tensor) -> list[int]:
    best = torch.unique_consecutive(logp.argmax(-1)).tolist()
    return [p for p in best if p]


@torch.inference_mode()
def judge(net, name: str, rows: list, words: dict, decibels: float | None) -> str:
    ids = {phone: i + 1 for i, phone in enumerate(PHONES)}
    wrong = total = 0
    for at, (samples, text) in enumerate(rows):
        logp = scores(net, samples if decibels is None else noisy(samples, decibels, at))
        if name.startswith("digits"):
            costs = []
            for word in DIGITS:
                said = [[ids[p] for p in variant] for variant in words[word]]
                costs.append(min(float(torch.nn.functional.ctc_loss(logp[:, None], torch.tensor([v]), torch.tensor([len(logp)]), torch.tensor([len(v)]), reduction="sum", zero_infinity=False)) for v in said))
            wrong += DIGITS[int(np.argmin(costs))] != text
            total += 1
        else:
            heard = phones(logp)
            variants = [[[ids[p] for p in v] for v in words[word]] for word in text.split()]
            truth = [p for v in variants for p in v[0]]
            # The nearest variant of each word in turn.
            for n, choices in enumerate(variants):
                for choice in choices[1:]:
                    trial = [p for m, v in enumerate(variants) for p in (choice if m == n else v[0])]
                    if distance(heard, trial) < distance(heard, truth):
                        variants[n], truth = [choice], trial
            wrong += distance(heard, truth)
            total += len(truth)
    return f"{name}{'' if decibels is None else f'@{decibels:.0f}dB'} {100 * wrong / total:.2f}"


def main() -> None:
    cut = sys.argv.index("--")
    encoder, lexicon, *sets = sys.argv[1:cut]
    words = json.load(open(lexicon))["words"]
    loaded = {}
    for item in sets:
        name, path = item.split("=", 1)
        rows = [line.rstrip("\n").split("\t") for line in open(path)]
        loaded[name] = [(sound(file), text) for file, text in rows if all(w in words for w in text.split())]
        print(name, len(loaded[name]), "recordings")
    for mixture in sys.argv[cut + 1 :]:
        net = Exported(mixture) if mixture.endswith(".onnx") else averaged(encoder, mixture.split(","))
        print(mixture, "|", ", ".join(
            judge(net, name, rows, words, decibels) for name, rows in loaded.items() for decibels in (None, 5.0)
        ), flush=True)


if __name__ == "__main__":
    main()
