"""Writes the pretrained encoder as it is trained on: half precision, only pieces of words that are likely here.

Usage: python pretrained.py FOLDER OUT.npz PAIRS.jsonl [MORE.jsonl ...]
FOLDER: model.safetensors and tokenizer.json of all-MiniLM-L6-v2 (Apache 2.0), as a package carries them.
"""
import json
import struct
import sys

import numpy as np

from pieces import Pieces

MOST_PIECES = 12_000


def tables(path):
    with open(path, 'rb') as file:
        header = json.loads(file.read(struct.unpack('<Q', file.read(8))[0]))
        body = file.read()
    for name, entry in header.items():
        if name != '__metadata__' and entry['dtype'] == 'F32':
            begin, end = entry['data_offsets']
            yield name, np.frombuffer(body[begin:end], np.float32).reshape(entry['shape'])


def main():
    folder, out, *files = sys.argv[1:]
    everything = list(json.load(open(f'{folder}/tokenizer.json'))['model']['vocab'])
    pieces = Pieces(everything)
    wanted = set()
    for file in files:
        for line in open(file):
            for symbol in json.loads(line)['said']:
                wanted.update(piece for word in symbol['shown'] for piece in pieces.of(word))
    # Words stand by how often they occur; letters and ends of words before and behind them.
    plain = [at for at, piece in enumerate(everything) if piece.isascii() and not piece.startswith('[') and (piece.startswith('##') or piece.isalnum() or len(piece) == 1)]
    single = [at for at in plain if len(everything[at].removeprefix('##')) == 1]
    kept = {pieces.id[mark] for mark in ('[PAD]', '[UNK]', '[CLS]', '[SEP]', '[MASK]')} | wanted | set(single)
    for at in plain:
        if len(kept) < MOST_PIECES:
            kept.add(at)
    rows = sorted(kept)
    table = {name: array for name, array in tables(f'{folder}/model.safetensors') if not name.startswith('pooler')}
    table['embeddings.word_embeddings.weight'] = table['embeddings.word_embeddings.weight'][rows]
    table['embeddings.position_embeddings.weight'] = table['embeddings.position_embeddings.weight'][:160]
    np.savez(out, pieces=np.array([everything[at] for at in rows]), **{name: array.astype(np.float16) for name, array in table.items()})
    print(f'{len(rows)} pieces, {len(wanted)} of them in the notes')


if __name__ == '__main__':
    main()
