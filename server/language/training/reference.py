"""What PyTorch makes of the shipped weights, for the tests: python reference.py WEIGHTS.safetensors PAIRS.jsonl COUNT OUT.json

For some notes, with their symbols, so that a change of the lexicon changes nothing: the chances (logarithms) of each step of the plain form that is likeliest step by step.
"""
import json
import struct
import sys

import numpy as np
import torch
from torch.nn import functional as F

from train import Book, Model, tensors


def load(path):
    raw = open(path, 'rb').read()
    (length,) = struct.unpack('<Q', raw[:8])
    header = json.loads(raw[8:8 + length])
    named = header.pop('__metadata__')
    body = raw[8 + length:]
    tables = {}
    for name, entry in header.items():
        kind = {'I8': np.int8, 'F32': np.float32}[entry['dtype']]
        tables[name] = np.frombuffer(body[slice(*entry['data_offsets'])], kind).reshape(entry['shape'])
    state = {n: torch.from_numpy(t.astype(np.float32) * (tables[n + '.scale'][:, None] if t.dtype == np.int8 else 1)) for n, t in tables.items() if not n.endswith('.scale')}
    book = Book([], named['pieces'].split('\n'))
    book.features = ['<none>'] + named['features'].split('\n')
    book.feature_id = {n: i for i, n in enumerate(book.features)}
    book.words = ['<end>'] + named['words'].split('\n')
    book.word_id = {w: i for i, w in enumerate(book.words)}
    model = Model(book, layers=int(named['encoder']), dec=int(named['decoder']))
    model.load_state_dict(state)
    return model.eval(), book


def main():
    model, book = load(sys.argv[1])
    pairs = [json.loads(line) for line in open(sys.argv[2])]
    step = max(1, len(pairs) // int(sys.argv[3]))
    out = []
    with torch.no_grad():
        for pair in pairs[::step]:
            feats, pieces, part, first, mask, *_ = tensors([pair], book)
            memory = model.encode(feats, pieces, part, first, mask)
            words, copies, chosen, chances = [0], [-1], [], []
            for _ in range(40):
                logits = model.decode(memory, mask, torch.tensor([words]), torch.tensor([copies]))[0, -1]
                log = F.log_softmax(logits, -1)
                best = int(log.argmax())
                chosen.append(best)
                chances.append(round(float(log[best]), 5))
                if best == 0:
                    break
                words.append(best if best < len(book.words) else -1)
                copies.append(best - len(book.words) if best >= len(book.words) else -1)
            said = [{'text': s['text'], 'features': s['features'], 'shown': s['shown']} for s in pair['said']]
            out.append({'text': pair['text'], 'said': said, 'before': pair['before'], 'steps': chosen, 'chances': chances})
    json.dump(out, open(sys.argv[4], 'w'), indent=1)
    print(len(out), 'notes')


if __name__ == '__main__':
    main()
