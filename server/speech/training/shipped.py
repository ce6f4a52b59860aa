"""Takes the weights out of an exported model, so that training goes on from what is shipped.

usage: shipped.py MODEL.onnx OUT.pt

Integer weights come back as the floats that they stand for: exact but for the rounding of the export (a 254th of a row's
range). OUT.pt is in half precision, like what train.py saves.
"""

import sys

import numpy as np
import onnx
import torch
from model import LAYERS, Net
from onnx import numpy_helper


def owner(node: onnx.NodeProto, readers: dict, layer: int) -> str:
    """Whose weight a product of integers holds: the name of the bias that is added to it; keys alone have none."""
    for _ in range(4):
        node = readers[node.output[0]]
        if node.op_type == "Add":
            names = [name for name in node.input if name.startswith("net.") and name.endswith(".bias")]
            return names[0][4:-5] if names else f"b.{layer}.k"
        if node.op_type not in ("Cast", "Mul"):
            break
    return f"b.{layer}.k"


def weights(path: str) -> dict[str, torch.Tensor]:
    graph = onnx.load(path).graph
    stored = {t.name: numpy_helper.to_array(t) for t in graph.initializer}
    state = {}
    for name, value in stored.items():
        if name.startswith("net."):
            state[name[4:].removesuffix("_half")] = value.astype(np.float32)
    products = [node for node in graph.node if node.op_type == "MatMulInteger"]
    if len(products) != 6 * LAYERS:
        raise SystemExit(f"expected six products of integers in each of {LAYERS} layers, found {len(products)}")
    readers = {name: node for node in reversed(graph.node) for name in node.input}
    for at, node in enumerate(products):
        scale, zero = stored[node.input[1].replace("_quantized", "_scale")], stored[node.input[3]]
        value = (stored[node.input[1]].astype(np.float32) - zero.astype(np.float32)) * scale
        state[f"{owner(node, readers, at // 6)}.weight"] = value.T
    for part in ("weight", "bias"):
        if f"output.{part}" in stored:
            value = stored[f"output.{part}"]
            state[f"out.{part}"] = value.T if value.shape == (384, 40) else value
    missing = set(Net().state_dict()) - set(state)
    if missing:
        raise SystemExit(f"expected every weight of the net, found none for {sorted(missing)}")
    return {name: torch.from_numpy(np.ascontiguousarray(value)) for name, value in state.items()}


if __name__ == "__main__":
    state = weights(sys.argv[1])
    torch.save({name: value.half() for name, value in state.items()}, sys.argv[2])
    print(len(state), "tensors,", sum(value.numel() for value in state.values()), "weights")
