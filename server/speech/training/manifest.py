"""Who says what: one JSON row a clip.

usage: manifest.py ENGINE TEXTS.txt FROM COUNT SEED > rows.jsonl      ENGINE: kokoro | flite | espeak

The voices in HELD are never used here: they are for evaluation only, and so is the Piper voice "joe".
"""

import json
import random
import subprocess
import sys

HELD = {"af_sky", "am_eric", "bm_lewis", "bf_lily", "awb", "joe"}
ENGLISH = (
    "af_alloy af_aoede af_bella af_heart af_jessica af_kore af_nicole af_nova af_river af_sarah am_adam am_echo "
    "am_fenrir am_liam am_michael am_onyx am_puck am_santa bf_alice bf_emma bf_isabella bm_daniel bm_fable bm_george"
).split()
# Speakers of other languages: their English has an accent.
ACCENTED = (
    "ef_dora em_alex em_santa ff_siwis hf_alpha hf_beta hm_omega hm_psi if_sara im_nicola jf_alpha jf_gongitsune jf_nezumi "
    "jf_tebukuro jm_kumo pf_dora pm_alex pm_santa zf_xiaobei zf_xiaoni zf_xiaoxiao zf_xiaoyi zm_yunjian zm_yunxi zm_yunxia zm_yunyang"
).split()
ESPEAK = ["en-us", "en-us", "en-gb", "en-gb-scotland", "en-gb-x-rp", "en-gb-x-gbclan", "en-gb-x-gbcwmd", "en-029", "en-us-nyc"]
VARIANTS = ["", "+m1", "+m2", "+m3", "+m4", "+m5", "+m6", "+m7", "+f1", "+f2", "+f3", "+f4", "+f5", "+klatt", "+klatt3"]
VARIANTS += ["+Andy", "+Annie", "+Denis", "+Gene", "+Jacky", "+Lee", "+Mario", "+Michael", "+Tweaky", "+adam", "+anika", "+ed", "+iven", "+john", "+linda", "+max", "+michel", "+paul", "+steph", "+travis", "+victor", "+zac"]


def ipa(texts: list[str], accent: str) -> list[str]:
    """Phones of many texts at once, by espeak-ng, in the letters that Kokoro knows."""
    said = subprocess.run(
        ["espeak-ng", "-q", "--ipa", "-v", accent, "-f", "/dev/stdin"],
        input="\n\n".join(text + "." for text in texts), text=True, capture_output=True, check=True,
    ).stdout
    lines = [line.strip() for line in said.strip().split("\n") if line.strip()]
    if len(lines) != len(texts):
        raise SystemExit(f"expected {len(texts)} lines of phones, found {len(lines)}")
    return [line.replace("ʲ", "j").replace("r", "ɹ").replace("x", "k").replace("ɬ", "l") + "." for line in lines]


def voice(draw: random.Random) -> str:
    """A voice; three in ten speak with the melody and the tempo of another, which follows a bar."""
    return timbre(draw) if draw.random() < 0.7 else f"{timbre(draw)}|{timbre(draw)}"


def timbre(draw: random.Random) -> str:
    """One of the voices, or a mixture of two to four of them, sometimes away from one: a person that nobody has met."""
    kind = draw.random()
    if kind < 0.22:
        return draw.choice(ENGLISH)
    if kind < 0.32:
        return draw.choice(ACCENTED)
    names = [draw.choice(ENGLISH), draw.choice(ENGLISH + ACCENTED)]
    if kind < 0.42:
        away = draw.uniform(0.1, 0.35)
        return f"{names[0]}:{1 + away:.2f}+{names[1]}:{-away:.2f}"
    for least in (0.72, 0.92):
        if kind > least:
            names.append(draw.choice(ENGLISH + ACCENTED))
    weights = [draw.uniform(0.3, 1) for _ in names]
    return "+".join(f"{name}:{weight / sum(weights):.2f}" for name, weight in zip(names, weights))


def with_pauses(said: str, draw: random.Random) -> str:
    """Four in ten are said with a short stop after a word or two: people look, count and think while they speak."""
    words = said.split(" ")
    if draw.random() < 0.4 and len(words) > 2:
        for _ in range(draw.randint(1, 2)):
            at = draw.randrange(len(words) - 1)
            words[at] = words[at].rstrip(",") + ","
    return " ".join(words)


def main(engine: str, path: str, start: int, count: int, seed: int) -> None:
    draw = random.Random(seed)
    texts = [line.strip() for line in open(path) if line.strip()][start : start + count]
    rows = []
    for i, text in enumerate(texts):
        speed = round(draw.uniform(0.8, 1.25) if draw.random() < 0.85 else draw.uniform(1.25, 1.5), 2)
        if engine == "kokoro":
            rows.append({"text": text, "voice": voice(draw), "speed": speed})
        elif engine == "flite":
            rows.append({"text": text, "voice": draw.choice(["kal16", "rms", "slt"]), "speed": speed, "pitch": draw.randint(80, 190)})
        else:
            name = draw.choice(ESPEAK) + draw.choice(VARIANTS)
            rows.append({"text": text, "voice": name, "speed": speed, "pitch": draw.randint(20, 85)})
        rows[-1].update(engine=engine, id=start + i)
    assert not any(name in row["voice"] for row in rows for name in HELD)
    if engine == "kokoro":
        for accent in ("en-us", "en-gb"):
            chosen = [row for row in rows if (row["voice"][0] == "b") == (accent == "en-gb")]
            for row, line in zip(chosen, ipa([row["text"] for row in chosen], accent)) if chosen else ():
                row["ipa"] = with_pauses(line, draw)
    for row in rows:
        print(json.dumps(row, ensure_ascii=False))


main(sys.argv[1], sys.argv[2], *map(int, sys.argv[3:6]))
