"""Stores the few recordings of people that may be trained on: spoken letters and words of two children's programs.

usage: recordings.py FOLDER OUT > report      FOLDER: the unpacked Debian packages klettres-data and ktuberling-data (GPL-2+)

Three speakers, 158 clips, read by sox. Their words are their file names. Nothing of them is shipped.
"""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np

SPELT = {
    "fallingstar": "falling star", "palmtree": "palm tree", "sphynx": "sphinx", "broccolli": "broccoli", "moonwalker": "moon walker",
}
SKIPPED = {"ufo", "ch", "th", "aw", "earring"}


def clips(folder: Path):
    for place in ("klettres/en/alpha", "klettres/en_GB/alpha", "klettres/en/syllab", "klettres/en_GB/syllab", "ktuberling/sounds/en"):
        for path in sorted((folder / "usr/share" / place).glob("*.ogg")):
            word = path.stem.split("_")[-1].lower()
            # "a" has two sounds as a word, and the British z another name.
            if word not in SKIPPED | {"a"} | ({"z"} if "en_GB" in place else set()):
                yield path, SPELT.get(word, word)


def main(folder: str, out: str) -> None:
    at = 0
    with open(out + ".raw", "wb") as raw, open(out + ".jsonl", "w") as index:
        for path, text in clips(Path(folder)):
            said = subprocess.run(["sox", path, "-t", "raw", "-r", "16000", "-c", "1", "-e", "signed", "-b", "16", "-"], capture_output=True, check=True)
            samples = np.frombuffer(said.stdout, "<i2").astype(np.float32)
            samples = samples / (np.abs(samples).max() + 1e-6) * 0.5
            loud = np.where(np.abs(samples) > 0.03)[0]
            samples = np.pad(samples, 1600)[loud[0] : loud[-1] + 3200]
            raw.write((samples * 32767).astype("<i2").tobytes())
            index.write(json.dumps({"text": text, "voice": "/".join(path.parts[-3:-1]), "off": at, "n": len(samples)}) + "\n")
            at += len(samples)
    print(out, round(at / 16000), "s")


main(*sys.argv[1:3])
