"""Takes the weights out of an exported model, so that training goes on from what is shipped.

usage: shipped.py MODEL.onnx OUT.pt

Integer weights come back as the floats that they stand for: exact but for the rounding of the export (a 254th of a row's
range). OUT.pt is in half precision, like what train.py saves.
"""

import sys

import numpy as np
import onnx
import torch
from onnx import numpy_helper


def weights(path: str) -> dict[str, torch.Tensor]:
    graph = onnx.load(path).graph
    stored = {t.name: numpy_helper.to_array(t) for t in graph.initializer}
    state = {}
    for name, value in stored.items():
        if name.startswith("net."):
            state[name[4:].removesuffix("_half")] = value.astype(np.float32)
    for node in graph.node:
        # "/net/b.0/q/MatMul_quant" is the product with the weight of b.0.q.
        if node.op_type == "MatMulInteger":
            scale, zero = stored[node.input[1].replace("_quantized", "_scale")], stored[node.input[3]]
            value = (stored[node.input[1]].astype(np.float32) - zero.astype(np.float32)) * scale
            state[".".join(node.name.split("/")[2:-1]) + ".weight"] = value.T
    for part in ("weight", "bias"):
        if f"output.{part}" in stored:
            value = stored[f"output.{part}"]
            state[f"out.{part}"] = value.T if value.shape == (384, 40) else value
    return {name: torch.from_numpy(np.ascontiguousarray(value)) for name, value in state.items()}


if __name__ == "__main__":
    state = weights(sys.argv[1])
    torch.save({name: value.half() for name, value in state.items()}, sys.argv[2])
    print(len(state), "tensors,", sum(value.numel() for value in state.values()), "weights")
