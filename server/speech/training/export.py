"""Averages fine-tuned weights with the general encoder's and writes the int8 ONNX file that the tool loads.

usage: export.py encoder.npz OUT_FOLDER WEIGHT=FILE.pt ...       the rest up to 1 is the general encoder

WEIGHT may be LOW:HIGH, from the convolutions to the last layer.

Fine-tuning on made voices alone loses real ones; the average gets them back. The linear layer on top has no general
counterpart: it is the mean of the fine-tuned ones.
"""

import json
import os
import sys

import numpy as np
import onnx
import torch
from model import BANDS, Net
from onnxruntime.quantization import QuantType, quantize_dynamic

PHONES = "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split()

# What the library wants to read beside the model; the tool computes the features itself, for the true length only.
FEATURES = {
    "feature_extractor_type": "WhisperFeatureExtractor", "processor_class": "WhisperProcessor", "sampling_rate": 16000,
    "feature_size": BANDS, "n_fft": 400, "hop_length": 160, "chunk_length": 8, "n_samples": 128000, "nb_max_frames": 800,
    "padding_side": "right", "padding_value": 0.0, "return_attention_mask": False,
}


class Graph(torch.nn.Module):
    """The log of the probabilities is part of the graph."""

    def __init__(self, net: Net):
        super().__init__()
        self.net = net

    def forward(self, input_features):
        return torch.log_softmax(self.net(input_features), -1)


def depth(name: str) -> float:
    """How deep a weight lies: 0 in the convolutions, 1 in the last layer and what follows it."""
    return (int(name.split(".")[1]) + 1) / 4 if name.startswith("b.") else 0.0 if name[0] == "c" else 1.0


def averaged(general: str, parts: list[str]) -> Net:
    base = {k: torch.tensor(v.astype(np.float32)) for k, v in np.load(general).items()}
    tuned = []
    for part in parts:
        weight, path = part.split("=", 1)
        low, _, high = weight.partition(":")
        tuned.append((float(low), float(high or low), torch.load(path)))
    state = {}
    for name in tuned[0][2]:
        at = depth(name)
        weights = [low + (high - low) * at for low, high, _ in tuned]
        whole = sum(weights)
        if whole > 1.001:
            raise SystemExit(f"expected weights of 1 at most together, found {whole}")
        mean = sum(weight * tensors[name].float() for weight, (_, _, tensors) in zip(weights, tuned))
        state[name] = mean + (1 - whole) * base[name] if name in base else mean / whole
    state["pos"] = base["pos"]
    net = Net()
    net.load_state_dict(state)
    return net.eval()


def export(net: Net, folder: str) -> None:
    os.makedirs(f"{folder}/onnx", exist_ok=True)
    plain, small = f"{folder}/onnx/plain.onnx", f"{folder}/onnx/model_quantized.onnx"
    torch.onnx.export(
        Graph(net), torch.randn(1, BANDS, 300), plain, opset_version=17, dynamo=False,
        input_names=["input_features"], output_names=["logits"],
        dynamic_axes={"input_features": {0: "batch", 2: "frames"}, "logits": {0: "batch", 1: "half"}},
    )
    model = onnx.load(plain)
    model.ir_version = 8  # the newest that the runtime of the library reads
    onnx.save(model, plain)
    quantize_dynamic(plain, small, weight_type=QuantType.QInt8, per_channel=True, op_types_to_quantize=["MatMul", "Gemm"])
    model = onnx.load(small)
    model.ir_version = 8
    onnx.save(model, small)
    os.remove(plain)
    with open(f"{folder}/phones.txt", "w") as file:
        file.write("\n".join(["<blank>", *PHONES]) + "\n")
    with open(f"{folder}/config.json", "w") as file:
        json.dump({"model_type": "wav2vec2", "vocab_size": 40}, file)
    with open(f"{folder}/preprocessor_config.json", "w") as file:
        json.dump(FEATURES, file)
    print(small, os.path.getsize(small), "bytes")


if __name__ == "__main__":
    export(averaged(sys.argv[1], sys.argv[3:]), sys.argv[2])
