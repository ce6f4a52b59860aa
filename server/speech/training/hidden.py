"""Gives a quantised model the output `hidden`, and its last layer in float under names that can be found.

usage: hidden.py MODEL.onnx [CLIP_FEATURES.npy]      MODEL.onnx is written anew

Before: the last linear layer (384 to 40) is a product of integers, its weights int8 with a scale an output. After: one
MatMul and one Add in float with the initializers `output.weight` [384, 40] and `output.bias` [40], the very values that
the integers stand for, and beside `logits` [1, frames, 40] the layer's input as output `hidden` [1, frames, 384]. So
a program can learn another last layer and knows the one that it starts from. The scores differ only by the rounding of
the layer's input, which is no longer done; how far, is printed for noise and, where given, for the features of a clip.
"""

import sys

import numpy as np
import onnx
from onnx import TensorProto, helper, numpy_helper


def producer(graph: onnx.GraphProto, name: str) -> onnx.NodeProto:
    return next(node for node in graph.node if name in node.output)


def with_hidden(model: onnx.ModelProto) -> onnx.ModelProto:
    graph = model.graph
    if any(output.name == "hidden" for output in graph.output):
        raise SystemExit("the model has the output hidden already")
    softmax = producer(graph, "logits")
    add = producer(graph, softmax.input[0])
    values = {tensor.name: tensor for tensor in graph.initializer}
    bias = next(name for name in add.input if name in values)
    scale = producer(graph, next(name for name in add.input if name not in values))
    chain, product = [softmax, add, scale], producer(graph, scale.input[0])
    while product.op_type != "MatMulInteger":
        chain.append(product)
        product = producer(graph, product.input[0])
    chain.append(product)
    scales = producer(graph, scale.input[1])
    quantise = producer(graph, product.input[0])
    chain += [scales, quantise]
    weights, zero = (numpy_helper.to_array(values[product.input[i]]).astype(np.float32) for i in (1, 3))
    steps = numpy_helper.to_array(values[next(name for name in scales.input if name in values)])
    weight = ((weights - zero) * steps).astype(np.float32)
    source = quantise.input[0]
    norm = producer(graph, source)
    for node in chain:
        graph.node.remove(node)
    used = {name for node in graph.node for name in node.input}
    for tensor in [t for t in graph.initializer if t.name not in used and t.name != bias]:
        graph.initializer.remove(tensor)
    bias_values = numpy_helper.to_array(values[bias]).astype(np.float32)
    graph.initializer.remove(values[bias])
    graph.initializer.append(numpy_helper.from_array(weight, "output.weight"))
    graph.initializer.append(numpy_helper.from_array(bias_values, "output.bias"))
    norm.output[0] = "hidden"
    for node in graph.node:
        for i, name in enumerate(node.input):
            if name == source:
                node.input[i] = "hidden"
    graph.node.append(helper.make_node("MatMul", ["hidden", "output.weight"], ["output_product"], "output/MatMul"))
    graph.node.append(helper.make_node("Add", ["output_product", "output.bias"], ["output_scores"], "output/Add"))
    graph.node.append(helper.make_node("LogSoftmax", ["output_scores"], ["logits"], "output/LogSoftmax", axis=-1))
    dims = [d.dim_param or d.dim_value for d in graph.output[0].type.tensor_type.shape.dim]
    graph.output.append(helper.make_tensor_value_info("hidden", TensorProto.FLOAT, [*dims[:2], weight.shape[0]]))
    onnx.checker.check_model(model)
    return model


def compare(before: bytes, after: bytes, features: np.ndarray) -> str:
    import onnxruntime

    def run(model: bytes) -> list[np.ndarray]:
        session = onnxruntime.InferenceSession(model, providers=["CPUExecutionProvider"])
        return session.run(None, {"input_features": features})

    old, (new, hidden) = run(before)[0], run(after)
    weight, bias = (
        numpy_helper.to_array(t) for n in ("output.weight", "output.bias") for t in onnx.load_from_string(after).graph.initializer if t.name == n
    )
    scores = hidden @ weight + bias
    again = scores - np.log(np.exp(scores - scores.max(-1, keepdims=True)).sum(-1, keepdims=True)) - scores.max(-1, keepdims=True)
    likely = old > -5
    return (
        f"likely scores apart by {np.abs(new - old)[likely].max():.4f} nats at most, {np.abs(new - old)[likely].mean():.5f} on average; "
        f"best phone differs in {(new.argmax(-1) != old.argmax(-1)).sum()} of {old.shape[1]} frames; "
        f"hidden, weights and softmax give the scores within {np.abs(again - new).max():.1e}"
    )


def main() -> None:
    path = sys.argv[1]
    before = onnx.load(path)
    old = before.SerializeToString()
    after = with_hidden(before).SerializeToString()
    noise = np.random.default_rng(1).normal(0, 0.5, (1, 80, 300)).astype(np.float32)
    print("noise:", compare(old, after, noise))
    for clip in sys.argv[2:]:
        print(clip, compare(old, after, np.load(clip)))
    with open(path, "wb") as file:
        file.write(after)
    print(path, len(old), "->", len(after), "bytes")


if __name__ == "__main__":
    main()
