"""Makes silero_vad.onnx from the published file: its half for 16 kHz only, without its branches.

python slim.py PUBLISHED.onnx silero_vad.onnx   (needs the package onnx)

The published graph holds a second network for 8 kHz and branches on shapes that never differ here; the runtime that
this program uses warns of each of its 80 unused constants at every start. Nothing is computed otherwise: a test of
the program compares the probabilities of a clip with those of the published file.
"""

import sys

import onnx
from onnx import helper, numpy_helper


def flat(nodes, choose):
    """The nodes with the chosen branch in place of each If; its outputs are handed on under the If's names."""
    for node in nodes:
        if node.op_type != "If":
            yield node
            continue
        branch = next(a.g for a in node.attribute if a.name == choose(node))
        yield from flat(branch.node, choose)
        for inner, outer in zip(branch.output, node.output):
            yield helper.make_node("Identity", [inner.name], [outer])


model = onnx.load(sys.argv[1])
graph = model.graph
# 16 kHz, one channel and a memory that is given are first branches; frames come without a batch inside of the cell.
nodes = list(flat(graph.node, lambda node: "else_branch" if "/rnn/" in node.input[0] else "then_branch"))
constants = {n.output[0]: n for n in nodes if n.op_type == "Constant"}
# Backwards from the results: what they need, and nothing of the conditions.
needed, kept = {"output", "stateN"}, []
for node in reversed(nodes):
    if any(name in needed for name in node.output):
        kept.append(node)
        needed.update(node.input)
kept.reverse()
weights = []
for node in list(kept):
    if node.op_type == "Constant":
        kept.remove(node)
        value = next(a.t for a in node.attribute if a.name == "value")
        weights.append(numpy_helper.from_array(numpy_helper.to_array(value), node.output[0]))
inputs = [i for i in graph.input if i.name != "sr"]
made = helper.make_model(
    helper.make_graph(kept, "silero_vad_16k", inputs, list(graph.output), initializer=weights),
    opset_imports=list(model.opset_import),
    producer_name="slim",
)
made.ir_version = model.ir_version
onnx.checker.check_model(made)
onnx.save(made, sys.argv[2])
