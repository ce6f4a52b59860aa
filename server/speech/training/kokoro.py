"""Runs the int8 ONNX file of Kokoro-82M in torch with float weights, so that a GPU can speak it.

The runtime at hand there has no GPU provider, and integer convolutions are slow on a processor. Every node of the graph
is one small function below; what the quantiser added (scales, zero points) is undone while loading. `python kokoro.py
FILE.onnx VOICES VOCAB.json` compares one sentence with onnxruntime.
"""

import json
import sys

import numpy as np
import onnx
import torch
import torch.nn.functional as F
from onnx import numpy_helper

KIND = {1: torch.float32, 6: torch.int64, 7: torch.int64, 9: torch.bool}

# Nodes that are one function of torch, of one and of two tensors.
ONE = {
    "Sqrt": torch.sqrt, "Identity": lambda x: x, "Floor": torch.floor, "Round": torch.round, "Sigmoid": torch.sigmoid,
    "Tanh": torch.tanh, "Exp": torch.exp, "Sin": torch.sin, "Cos": torch.cos,
}
TWO = {
    "Mul": torch.mul, "Add": torch.add, "Sub": torch.sub, "Pow": torch.pow, "Equal": torch.eq, "Greater": torch.gt,
    "Less": torch.lt, "GreaterOrEqual": torch.ge,
}


def numbers(x) -> list[int]:
    return x.tolist() if isinstance(x, torch.Tensor) else list(x)


class Kokoro:
    """`Kokoro(path, device)(tokens, style, speed)`: phone numbers and a style vector of 256 to samples at 24 kHz."""

    def __init__(self, path: str, device: str):
        graph = onnx.load(path).graph
        self.device, self.lstms = device, {}
        self.fixed = {}
        for item in graph.initializer:
            value = torch.from_numpy(numpy_helper.to_array(item).copy())
            whole = value.dtype in (torch.int64, torch.int32) and value.numel() < 600
            self.fixed[item.name] = value.long() if whole else value.to(device)
        # Quantised weights lose their zero point once; their scale stays a factor in the graph.
        self.nodes = []
        centred: dict = {}
        for node in graph.node:
            attributes = {a.name: onnx.helper.get_attribute_value(a) for a in node.attribute}
            inputs = list(node.input)
            if node.op_type == "Floor" and "bias_quant" in node.output[0]:
                # The bias was rounded to steps of the quantised product; in float there are no such steps.
                node.op_type = "Identity"
            if node.op_type in ("MatMulInteger", "ConvInteger"):
                name = inputs[1]
                if name not in centred:
                    centred[name] = self.fixed[name].float() - self.fixed[inputs[3]].float()
                inputs = [inputs[0], name + " centred"]
                self.fixed[inputs[1]] = centred[name]
            self.nodes.append((node.op_type, inputs, list(node.output), attributes))
        self.last: dict = {}
        for at, (_, inputs, _, _) in enumerate(self.nodes):
            for name in inputs:
                self.last[name] = at
        self.ends = [[] for _ in self.nodes]
        for name, at in self.last.items():
            if name not in self.fixed and name:
                self.ends[at].append(name)

    @torch.inference_mode()
    def __call__(self, tokens, style, speed: float) -> np.ndarray:
        live = {
            "tokens": torch.tensor([[0, *tokens, 0]], device=self.device),
            "style": torch.as_tensor(style, dtype=torch.float32, device=self.device).reshape(1, 256),
            "speed": torch.tensor([speed], dtype=torch.float32, device=self.device),
        }
        fixed = self.fixed
        for at, (kind, inputs, outputs, attributes) in enumerate(self.nodes):
            values = [None if not n else fixed[n] if n in fixed else live[n] for n in inputs]
            if kind in ONE:
                made = ONE[kind](*values)
            elif kind in TWO:
                made = TWO[kind](*self.pair(*values))
            else:
                made = getattr(self, "op_" + kind)(attributes, *values)
            if isinstance(made, tuple):
                live.update(zip(outputs, made))
            else:
                live[outputs[0]] = made
            for name in self.ends[at]:
                if name != "audio":
                    live.pop(name, None)
        return live["audio"].float().cpu().numpy().ravel()

    def pair(self, a, b):
        if a.device != b.device:
            return a.to(self.device), b.to(self.device)
        return a, b

    def op_Div(self, _, a, b):
        a, b = self.pair(a, b)
        return a / b if a.is_floating_point() else a // b

    def op_And(self, _, a, b):
        return a & b

    def op_Where(self, _, c, a, b):
        if not (c.device == a.device == b.device):
            c, a, b = c.to(self.device), a.to(self.device), b.to(self.device)
        return torch.where(c, a, b)

    def op_Cast(self, t, x):
        return x.to(KIND[t["to"]]) if not (x.is_floating_point() and t["to"] == 6) else x

    def op_DynamicQuantizeLinear(self, _, x):
        one = self.fixed.setdefault("one", torch.ones((), device=self.device))
        return x, one, one

    def op_DequantizeLinear(self, _, x, scale, zero):
        return (x.float() - zero.float()) * scale

    def op_MatMulInteger(self, _, a, b):
        return a @ b

    def op_MatMul(self, _, a, b):
        return a @ b

    def op_FusedMatMul(self, t, a, b):
        return (a.transpose(-1, -2) if t["transA"] else a) @ (b.transpose(-1, -2) if t["transB"] else b) * t["alpha"]

    def op_ConvInteger(self, t, x, w):
        return self.op_Conv(t, x, w)

    def op_Conv(self, t, x, w, bias=None):
        pads = t["pads"]
        assert pads[0] == pads[-1]
        return F.conv1d(x, w, bias, t["strides"][0], pads[0], t["dilations"][0], t["group"])

    def op_ConvTranspose(self, t, x, w, bias=None):
        extra = t.get("output_padding", [0])[0]
        return F.conv_transpose1d(x, w, bias, t["strides"][0], t["pads"][0], extra, t["group"], t["dilations"][0])

    def op_Unsqueeze(self, _, x, axes):
        for axis in sorted(numbers(axes)):
            x = x.unsqueeze(axis)
        return x

    def op_Squeeze(self, _, x, axes):
        for axis in sorted(numbers(axes), reverse=True):
            x = x.squeeze(axis)
        return x

    def op_Reshape(self, _, x, shape):
        shape = [x.shape[i] if n == 0 else n for i, n in enumerate(numbers(shape))]
        return x.reshape(shape)

    def op_Gather(self, t, x, at):
        axis = t.get("axis", 0)
        if at.dim() == 0:
            return x.select(axis, int(at))
        flat = x.index_select(axis, at.reshape(-1).to(x.device))
        return flat.reshape(x.shape[:axis] + at.shape + x.shape[axis + 1 :])

    def op_ReduceMean(self, t, x, axes):
        return x.mean(numbers(axes), keepdim=bool(t.get("keepdims", 1)))

    def op_ReduceSum(self, t, x, axes):
        return x.sum(numbers(axes), keepdim=bool(t.get("keepdims", 1)))

    def op_Transpose(self, t, x):
        return x.permute(t["perm"])

    def op_Atan(self, _, x):
        return x.nan_to_num(0.0).atan()  # 0/0, where a frame is exactly silent

    def op_Clip(self, _, x, low=None, high=None):
        return x.clamp(min=None if low is None else float(low), max=None if high is None else float(high))

    def op_Split(self, t, x, sizes):
        return tuple(x.split(numbers(sizes), t["axis"]))

    def op_Shape(self, t, x):
        return torch.tensor(x.shape[t.get("start", 0) : t.get("end")])

    def op_Concat(self, t, *parts):
        if any(p.device != parts[0].device for p in parts):
            parts = [p.to(self.device) for p in parts]
        return torch.cat(list(parts), t["axis"])

    def op_LeakyRelu(self, t, x):
        return F.leaky_relu(x, t.get("alpha", 0.01))

    def op_Slice(self, _, x, starts, ends, axes=None, steps=None):
        axes = numbers(axes) if axes is not None else range(len(starts))
        steps = numbers(steps) if steps is not None else [1] * len(starts)
        for start, end, axis, step in zip(numbers(starts), numbers(ends), axes, steps):
            size = x.shape[axis]
            if step < 0:
                x, step, start, end = x.flip(axis), -step, size - 1 - min(start, size - 1), size if end < -size else size - 1 - end
            index = [slice(None)] * x.dim()
            index[axis] = slice(start, end, step)
            x = x[tuple(index)]
        return x

    def op_LayerNormalization(self, t, x, weight, bias):
        return F.layer_norm(x, weight.shape, weight, bias, t["epsilon"])

    def op_SkipLayerNormalization(self, t, x, skip, weight, bias):
        return F.layer_norm(x + skip, weight.shape, weight, bias, t["epsilon"])

    def op_FastGelu(self, _, x, bias):
        return F.gelu(x + bias, approximate="tanh")

    def op_Softmax(self, t, x):
        return x.softmax(t["axis"])

    def op_ConstantOfShape(self, t, shape):
        value = torch.from_numpy(numpy_helper.to_array(t["value"]).copy()) if "value" in t else torch.zeros(1)
        size = numbers(shape)
        if value.dtype == torch.int64 and len(size) == 1:
            return value.expand(size)
        return value.to(self.device).expand(size)

    def op_Expand(self, _, x, shape):
        return x.expand(torch.broadcast_shapes(x.shape, tuple(numbers(shape))))

    def op_CumSum(self, _, x, axis):
        return x.cumsum(int(axis))

    def op_Range(self, _, start, end, step):
        return torch.arange(int(start), int(end), int(step), device=self.device)

    def op_NonZero(self, _, x):
        return x.nonzero().T

    def op_ScatterND(self, _, x, at, new):
        x = x.clone()
        x[tuple(at.to(x.device).unbind(-1))] = new
        return x

    def op_Pad(self, t, x, pads, *_):
        pads = numbers(pads)
        rank = len(pads) // 2
        assert not any(pads[i] or pads[rank + i] for i in range(rank - 1))
        wide = x if x.dim() > 1 else x[None]
        return F.pad(wide, (pads[rank - 1], pads[-1]), t["mode"].decode()).reshape(*x.shape[:-1], -1)

    def op_Resize(self, t, x, _, scales):
        factor = float(scales[2])
        if t["mode"] == b"nearest":
            return F.interpolate(x, scale_factor=factor, mode="nearest")
        return F.interpolate(x, scale_factor=factor, mode="linear", align_corners=False, recompute_scale_factor=False)

    def op_STFT(self, _, x, step, window, length):
        frames = x.reshape(x.shape[0], -1).unfold(1, int(length), int(step)) * window
        return torch.view_as_real(torch.fft.rfft(frames))

    def op_DynamicQuantizeLSTM(self, t, x, w, r, b, *rest):
        """Gates i o f c of the graph become i f g o of torch; a direction each its own scale and zero point."""
        w_scale, w_zero, r_scale, r_zero = rest[4:8]
        if id(w) not in self.lstms:
            size = t["hidden_size"]
            net = torch.nn.LSTM(w.shape[1], size, bidirectional=True).to(self.device)

            def gates(m):
                i, o, f, c = m.split(size, 0)
                return torch.cat([i, f, c, o])

            for d, end in enumerate(("", "_reverse")):
                for name, q, scale, zero in (("weight_ih_l0", w, w_scale, w_zero), ("weight_hh_l0", r, r_scale, r_zero)):
                    getattr(net, name + end).data = gates(((q[d].float() - zero[d].float()) * scale[d]).T.contiguous())
                net.__getattr__("bias_ih_l0" + end).data = gates(b[d, : 4 * size])
                net.__getattr__("bias_hh_l0" + end).data = gates(b[d, 4 * size :])
            net.flatten_parameters()
            self.lstms[id(w)] = net
        y, _ = self.lstms[id(w)](x)
        time, batch, _ = y.shape
        return y.reshape(time, batch, 2, -1).transpose(1, 2)


def compare(path: str, voices: str, vocab: str) -> None:
    import time

    import onnxruntime

    ids = json.load(open(vocab))["vocab"]
    tokens = [ids[c] for c in "ˈeɪt pˈeɪsᵻz, ˈaɪ fˈaɪv ænd ɐ hˈæf." if c in ids]
    style = np.load(f"{voices}/am_adam.npy").astype(np.float32).reshape(-1, 256)[len(tokens)][None]
    device = "cuda" if torch.cuda.is_available() else "cpu"
    ours = Kokoro(path, device)
    mine = ours(tokens, style, 1.0)
    begun = time.time()
    for _ in range(5):
        ours(tokens, style, 1.0)
    print("torch", round((time.time() - begun) / 5 * 1000), "ms for", round(len(mine) / 24000, 2), "s on", device)
    session = onnxruntime.InferenceSession(path, providers=["CPUExecutionProvider"])
    inputs = {"tokens": np.array([[0, *tokens, 0]], np.int64), "style": style, "speed": np.ones(1, np.float32)}
    begun = time.time()
    theirs = session.run(None, inputs)[0].ravel()
    print("onnxruntime", round((time.time() - begun) * 1000), "ms;", len(mine), "and", len(theirs), "samples; correlation",
          round(float(np.corrcoef(mine[: len(theirs)], theirs[: len(mine)])[0, 1]), 4))
    if len(sys.argv) > 4:
        import wave

        for name, x in (("mine", mine), ("theirs", theirs)):
            with wave.open(f"{sys.argv[4]}/{name}.wav", "wb") as f:
                f.setnchannels(1), f.setsampwidth(2), f.setframerate(24000)
                f.writeframes((np.clip(x, -1, 1) * 32767).astype("<i2").tobytes())


if __name__ == "__main__":
    compare(*sys.argv[1:4])
