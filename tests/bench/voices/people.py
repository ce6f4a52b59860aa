"""Gathers recordings of people that packages of the Debian archive carry, with the packages' own transcripts.

usage: people.py FOLDER

Needs the packages asterisk-core-sounds-en, asterisk-core-sounds-en-wav (prompts, one speaker; CC BY-SA 3.0) and
pocketsphinx-testdata (cards, dictation of a public-domain book; BSD). Writes 16-bit WAV files and recordings.jsonl,
{"file", "text", "set"} a line. For evaluation only: nothing of it may be trained on or shipped.
"""

import gzip
import json
import re
import shutil
import sys
import wave
from pathlib import Path

PROMPTS = Path("/usr/share/asterisk/sounds/en_US_f_Allison")
PROMPT_TEXT = Path("/usr/share/doc/asterisk-core-sounds-en/core-sounds-en.txt.gz")
TESTS = Path("/usr/share/pocketsphinx/test/data")
PLAIN = re.compile(r"[a-z' ]+")


def plain(text: str) -> str:
    """Lower case, no punctuation; empty where it holds what is not said as it is written."""
    text = re.sub(r"[.,!?;:\"()-]", " ", text.lower())
    text = " ".join(text.split())
    return text if PLAIN.fullmatch(text) else ""


def prompts():
    for line in gzip.decompress(PROMPT_TEXT.read_bytes()).decode("latin-1").splitlines():
        name, separator, text = line.partition(":")
        path = PROMPTS / f"{name.strip()}.wav"
        if line.startswith(";") or not separator or not path.exists():
            continue
        # A remark of the recording's director is no speech.
        text = plain(re.sub(r"\[.*?\]|\(.*?\)|<.*?>", " ", text))
        with wave.open(str(path)) as sound:
            seconds = sound.getnframes() / sound.getframerate()
        # The ear takes one note at a time, at most half a minute.
        if not text or seconds > 29:
            continue
        number = name.strip().startswith("digits/") and " " not in text
        yield path, text, "numbers_prompts" if number else "prompts"


def transcribed(folder: str, transcript: str):
    for line in (TESTS / folder / transcript).read_text().splitlines():
        match = re.fullmatch(r"(?:<s>)?(.*?)(?:</s>)?\s*\((.+?)\)", line.strip())
        path = TESTS / folder / f"{match.group(2)}.wav" if match else None
        if path and path.exists() and plain(match.group(1)):
            yield path, plain(match.group(1)), folder


def raw():
    """Headerless 16 kHz recordings whose words the package's own tests expect."""
    for name, text in (("goforward", "go forward ten meters"),):
        path = TESTS / f"{name}.raw"
        if path.exists():
            yield path, text, "commands"


def main() -> None:
    target = Path(sys.argv[1])
    target.mkdir(parents=True, exist_ok=True)
    rows = []
    sources = [*prompts(), *transcribed("cards", "cards.transcription"), *transcribed("librivox", "transcription"), *raw()]
    for path, text, kind in sources:
        file = f"{kind}-{len(rows):04}.wav"
        if path.suffix == ".raw":
            with wave.open(str(target / file), "wb") as out:
                out.setnchannels(1)
                out.setsampwidth(2)
                out.setframerate(16000)
                out.writeframes(path.read_bytes())
        else:
            shutil.copyfile(path, target / file)
        rows.append({"file": file, "text": text, "set": kind})
    (target / "recordings.jsonl").write_text("".join(json.dumps(row) + "\n" for row in rows))
    print(f"{len(rows)} recordings in {target}")


if __name__ == "__main__":
    main()
