"""Averages fine-tuned weights with the general encoder's and writes the int8 ONNX file that the tool loads.

usage: export.py encoder.npz OUT WEIGHT=FILE.pt ...       the rest up to 1 is the general encoder

OUT: a folder for the tool, or a file NAME.pt: weights in half precision from which to train on.

WEIGHT may be LOW:HIGH, from the convolutions to the last layer.

Fine-tuning on made voices alone loses real ones; the average gets them back. The layers above the general encoder's have no
counterpart there: they are the mean of the fine-tuned ones. The convolutions' weights are stored in half precision. The
last layer stays in float under names of its own, and its input is an output beside its scores: a program can fit that layer
to a voice.
"""

import json
import os
import sys

import numpy as np
import onnx
import torch
from model import BANDS, GENERAL, Net, start_weights
from onnx import TensorProto, helper, numpy_helper
from onnxruntime.quantization import QuantType, quantize_dynamic

PHONES = "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split()

# What the library wants to read beside the model; the tool computes the features itself, for the true length only.
FEATURES = {
    "feature_extractor_type": "WhisperFeatureExtractor", "processor_class": "WhisperProcessor", "sampling_rate": 16000,
    "feature_size": BANDS, "n_fft": 400, "hop_length": 160, "chunk_length": 8, "n_samples": 128000, "nb_max_frames": 800,
    "padding_side": "right", "padding_value": 0.0, "return_attention_mask": False,
}


class Graph(torch.nn.Module):
    """Log-mel to the log of the probabilities [batch, half, 40] and the last layer's input [batch, half, 384]."""

    def __init__(self, net: Net):
        super().__init__()
        self.net = net

    def forward(self, input_features):
        hidden = self.net.hidden(input_features)
        return torch.log_softmax(self.net.out(hidden), -1), hidden


def depth(name: str) -> float | None:
    """How deep a weight of the general encoder lies: 0 in the convolutions, 1 in its last layer; None above it."""
    if name.startswith("c"):
        return 0.0
    layer = int(name.split(".")[1]) if name.startswith("b.") else GENERAL
    return (layer + 1) / GENERAL if layer < GENERAL else None


def averaged(general: str, parts: list[str]) -> Net:
    base = start_weights(np.load(general))
    tuned = []
    for part in parts:
        weight, path = part.split("=", 1)
        low, _, high = weight.partition(":")
        tuned.append((float(low), float(high or low), torch.load(path)))
    state = {}
    for name in base | tuned[0][2]:
        at = depth(name)
        weights = [high if at is None else low + (high - low) * at for low, high, _ in tuned]
        whole = sum(weights)
        if whole > 1.001:
            raise SystemExit(f"expected weights of 1 at most together, found {whole}")
        if not all(name in tensors for _, _, tensors in tuned):
            state[name] = base[name]
            continue
        mean = sum(weight * tensors[name].float() for weight, (_, _, tensors) in zip(weights, tuned))
        state[name] = mean / whole if at is None else mean + (1 - whole) * base[name]
    net = Net()
    net.load_state_dict(state)
    return net.eval()


def halved(model: onnx.ModelProto) -> None:
    """Stores the convolutions' weights in half precision; the runtime widens them once, when it loads the file."""
    kernels = {node.input[1] for node in model.graph.node if node.op_type == "Conv"}
    for tensor in [t for t in model.graph.initializer if t.name in kernels]:
        half = numpy_helper.from_array(numpy_helper.to_array(tensor).astype(np.float16), tensor.name + "_half")
        model.graph.initializer.remove(tensor)
        model.graph.initializer.append(half)
        model.graph.node.insert(0, helper.make_node("Cast", [half.name], [tensor.name], to=TensorProto.FLOAT))


def last_layer(model: onnx.ModelProto) -> onnx.NodeProto:
    """The product of the last layer, whose weights [384, 40] and bias [40] become `output.weight` and `output.bias`."""
    graph = model.graph
    made = {name: node for node in graph.node for name in node.output}
    add = made[made["logits"].input[0]]
    bias = next(name for name in add.input if name not in made)
    product = made[next(name for name in add.input if name in made)]
    names = {product.input[1]: "output.weight", bias: "output.bias"}
    for tensor in graph.initializer:
        tensor.name = names.get(tensor.name, tensor.name)
    for node in graph.node:
        for i, name in enumerate(node.input):
            node.input[i] = names.get(name, name)
    return product


def export(net: Net, folder: str) -> None:
    os.makedirs(f"{folder}/onnx", exist_ok=True)
    for block in net.b:
        block.plain = True
    plain, small = f"{folder}/onnx/plain.onnx", f"{folder}/onnx/model_quantized.onnx"
    torch.onnx.export(
        Graph(net), torch.randn(1, BANDS, 300), plain, opset_version=17, dynamo=False,
        input_names=["input_features"], output_names=["logits", "hidden"],
        dynamic_axes={"input_features": {0: "batch", 2: "frames"}, "logits": {0: "batch", 1: "half"}, "hidden": {0: "batch", 1: "half"}},
    )
    model = onnx.load(plain)
    last = last_layer(model)
    model.ir_version = 8  # the newest that the runtime of the library reads
    onnx.save(model, plain)
    quantize_dynamic(plain, small, weight_type=QuantType.QInt8, per_channel=True, op_types_to_quantize=["MatMul", "Gemm"], nodes_to_exclude=[last.name])
    model = onnx.load(small)
    model.ir_version = 8
    halved(model)
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
    mean = averaged(sys.argv[1], sys.argv[3:])
    if sys.argv[2].endswith(".pt"):
        torch.save({k: v.half() for k, v in mean.state_dict().items()}, sys.argv[2])
    else:
        export(mean, sys.argv[2])
