"""Gathers recordings of people on which weights are chosen, as lists that evaluate.py reads.

usage: sets.py PEOPLE STAMPS OUT      PEOPLE: a folder made by tests/bench/voices/people.py; STAMPS: the unpacked Debian package
tuxpaint-stamps-default (GPL-2: "a wombat", one speaker). Writes OUT/NAME.tsv and OUT/stamps/*.wav (by sox).

prompts: every third telephone prompt shorter than six seconds; lines: cards, a command and lines of an audiobook; numbers:
prompts of one number word; stamps: names of animals. None may be trained on. Digits are not here: they are reported.
"""

import json
import re
import subprocess
import sys
import wave
from pathlib import Path


def seconds(path: Path) -> float:
    with wave.open(str(path)) as sound:
        return sound.getnframes() / sound.getframerate()


def stamps(folder: Path, out: Path):
    (out / "stamps").mkdir(parents=True, exist_ok=True)
    for path in sorted(folder.glob("usr/share/tuxpaint/stamps/**/*_desc.ogg")):
        said = path.with_name(path.name.replace("_desc.ogg", ".txt"))
        if said.exists():
            text = " ".join(re.sub(r"[^a-z' ]", " ", said.read_text().split("\n")[0].lower()).split())
            wav = out / "stamps" / f"{path.stem}.wav"
            subprocess.run(["sox", "-G", path, "-r", "16000", "-c", "1", "-b", "16", wav], check=True)
            yield wav, text


def main(people: Path, stamp_folder: Path, out: Path) -> None:
    out.mkdir(parents=True, exist_ok=True)
    rows = [json.loads(line) for line in open(people / "recordings.jsonl")]
    of = {kind: [(people / row["file"], row["text"]) for row in rows if row["set"] == kind] for kind in {row["set"] for row in rows}}
    sets = {
        "prompts": [row for row in of["prompts"][::3] if seconds(row[0]) < 6][:100],
        "lines": of["cards"] + of["librivox"] + of["commands"],
        "numbers": of["numbers_prompts"],
        "stamps": list(stamps(stamp_folder, out)),
    }
    for name, found in sets.items():
        (out / f"{name}.tsv").write_text("".join(f"{path}\t{text}\n" for path, text in found))
        print(name, len(found))


main(*map(Path, sys.argv[1:4]))
