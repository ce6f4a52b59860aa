"""Trains the learned reader: symbols of what was said to the plain form, written word by word or copied.

Usage: python train.py OUT.safetensors PAIRS.jsonl --pretrained PRE.npz [--extra DRAWN.jsonl]
       [--seconds N] [--layers 0,2,4] [--seed S] [--keep OUT.pt] [--teachers A.pt,B.pt]
With teachers (networks kept with --keep, of the same pairs) it learns what they say together as well as what is right.
An encoder and a decoder with attention; at each step the decoder chooses among its own words and the symbols that were
said, so that numbers, names and words of remarks are copied and cannot be made up. The encoder has read much text before;
what the lexicon says of a word (features) is added to what it takes in.
"""
import argparse
import json
import math
import random
import struct
import time

import numpy as np
import torch
from torch import nn
from torch.nn import functional as F

from pieces import Pieces

MOST_SAID, MOST_PIECES, MOST_WRITTEN, MOST_FEATURES = 72, 126, 64, 16
# Of each thing told before.
MOST_BEFORE = 12
FILLERS = 'um uh okay well so like please now then right just er let see got have here this the yeah'.split()


class Book:
    """What is known by name: features, words to write."""

    def __init__(self, pairs, pieces):
        features, words = {}, {}
        for pair in pairs:
            for symbol in pair['said']:
                for name in symbol['features']:
                    features[name] = features.get(name, 0) + 1
            for step in pair['steps']:
                if 'word' in step:
                    words[step['word']] = words.get(step['word'], 0) + (5 if not step['copies'] else 1)
        self.features = ['<none>'] + sorted(features)
        self.feature_id = {n: i for i, n in enumerate(self.features)}
        self.words = ['<end>'] + sorted(w for w, c in words.items() if c >= 6)
        self.word_id = {w: i for i, w in enumerate(self.words)}
        self.pieces = Pieces(pieces)

    def pieces_of(self, symbol):
        if symbol.get('hidden'):
            return [self.pieces.id['[MASK]']]
        return [piece for word in symbol['shown'] for piece in self.pieces.of(word)]

    def before(self, pair):
        """Pieces of what was told before, each part ended, and which part each is of (from 1)."""
        pieces, parts = [], []
        for nth, words in enumerate(pair.get('before', [])):
            if words:
                own = [piece for word in words for piece in self.pieces.of(word)][:MOST_BEFORE] + [self.pieces.id['[SEP]']]
                pieces += own
                parts += [nth + 1] * len(own)
        return pieces, parts

    def steps(self, pair):
        """(word or -1, copies) per step; None where a word can be neither written nor copied."""
        out = []
        for step in pair['steps']:
            word = self.word_id.get(step.get('word'), -1) if 'word' in step else -1
            if word < 0 and not step['copies']:
                return None
            out.append((word, step['copies']))
        return out


def changed(pair, others, rng):
    """The same as somebody else might have said it."""
    said = [dict(s) for s in pair['said']]
    steps = [dict(s) for s in pair['steps']]
    special = steps[0].get('word', '').startswith('@')
    if rng.random() < 0.15 and not special:
        other = others[rng.randrange(len(others))]
        if not other['steps'][0].get('word', '').startswith('@') and len(said) + len(other['said']) < 55 and len(steps) + len(other['steps']) < 55:
            between = rng.choice([',', ',', 'and', ';', None])
            if between:
                said.append({'text': between, 'features': ['k:break'], 'shown': [between]})
            shift = len(said)
            said += [dict(s) for s in other['said']]
            steps.append({'word': ',', 'copies': []})
            steps += [{**s, 'copies': [c + shift for c in s['copies']]} for s in other['steps']]
    drop = set()
    way = rng.random()
    for i, s in enumerate(said):
        if s['features'][0] == 'k:break' and (way < 0.25 or (way < 0.45 and rng.random() < 0.4)):
            drop.add(i)
    lower = rng.random() < 0.5
    blind = rng.random() < 0.1
    for i, s in enumerate(said):
        kind = s['features'][0]
        if kind == 'k:word':
            features = s['features']
            if lower:
                features = [f for f in features if f != 'n:capital']
            if blind:
                features = [f for f in features if not f.startswith('c:')]
            chance = rng.random()
            if chance < 0.05:
                s = said[i] = {**s, 'hidden': True}
            elif chance < 0.08 and len(s['text']) > 3:
                at = rng.randrange(1, len(s['text']))
                text = s['text']
                text = rng.choice([text[:at] + text[at + 1:], text[:at] + text[at] * 2 + text[at + 1:] , text[:at] + rng.choice('etaoinsrhl') + text[at + 1:]])
                features = ['k:word', 'n:unknown']
                s = said[i] = {**s, 'shown': [text]}
            said[i] = {**s, 'features': features}
        elif kind == 'k:number' and rng.random() < 0.15:
            size = next((f for f in s['features'] if f.startswith('s:')), None)
            if size:
                new = f's:{max(0, min(12, int(size[2:]) + rng.choice([-1, 1])))}'
                said[i] = {**s, 'features': [new if f == size else f for f in s['features']]}
    place, kept = {}, []
    for i, s in enumerate(said):
        if rng.random() < 0.02 and not special:
            word = rng.choice(FILLERS)
            kept.append({'text': word, 'features': ['k:word'], 'shown': [word]})
        if i not in drop:
            place[i] = len(kept)
            kept.append(s)
    steps = [{**s, 'copies': [place[c] for c in s['copies'] if c in place]} for s in steps]
    return {'said': kept, 'steps': steps, 'before': before_changed(pair['before'], rng)}


def before_changed(before, rng):
    """Nothing is known of what came before, or less."""
    if rng.random() < 0.2:
        return []
    return [part if rng.random() > 0.1 else [] for part in before]


def tensors(pairs, book):
    n = len(pairs)
    s_len = max(len(p['said']) for p in pairs)
    t_len = max(len(p['steps']) for p in pairs) + 1
    feats = np.zeros((n, s_len, MOST_FEATURES), np.int64)
    cut = [[book.pieces_of(symbol) for symbol in pair['said']] for pair in pairs]
    told = [book.before(pair) for pair in pairs]
    most = [min(MOST_PIECES, sum(map(len, one))) for one in cut]
    p_len = max(2 + said + len(before) for said, (before, _) in zip(most, told))
    pieces = np.zeros((n, p_len), np.int64)
    part = np.zeros((n, p_len), np.int64)
    first = np.zeros((n, s_len), np.int64)
    mask = np.zeros((n, s_len), bool)
    prev_word = np.full((n, t_len), -1, np.int64)
    prev_copy = np.full((n, t_len), -1, np.int64)
    right_word = np.full((n, t_len), -1, np.int64)
    right_copy = np.zeros((n, t_len, s_len), bool)
    real = np.zeros((n, t_len), np.float32)
    for i, pair in enumerate(pairs):
        row = [book.pieces.id['[CLS]']]
        for j, symbol in enumerate(pair['said']):
            mask[i, j] = True
            ids = [book.feature_id[f] for f in symbol['features'] if f in book.feature_id][:MOST_FEATURES]
            feats[i, j, :len(ids)] = ids
            first[i, j] = min(len(row), MOST_PIECES)
            row += cut[i][j]
        row = row[:MOST_PIECES + 1] + [book.pieces.id['[SEP]']]
        before, parts = told[i]
        pieces[i, :len(row) + len(before)] = row + before
        part[i, len(row):len(row) + len(before)] = parts
        steps = book.steps(pair) or []
        for j, (word, copies) in enumerate(steps):
            real[i, j] = 1
            right_word[i, j] = word
            right_copy[i, j, copies] = True
            if word >= 0:
                prev_word[i, j + 1] = word
            else:
                prev_copy[i, j + 1] = copies[0]
        real[i, len(steps)] = 1
        right_word[i, len(steps)] = 0
        prev_word[i, 0] = 0
    return [torch.from_numpy(x) for x in (feats, pieces, part, first, mask, prev_word, prev_copy, right_word, right_copy, real)]


class Layer(nn.Module):
    def __init__(self, d, heads, ff, cross, drop):
        super().__init__()
        self.heads, self.cross, self.drop = heads, cross, drop
        self.n1, self.q, self.k, self.v, self.o = nn.LayerNorm(d), nn.Linear(d, d), nn.Linear(d, d), nn.Linear(d, d), nn.Linear(d, d)
        if cross:
            self.n2, self.cq, self.ck, self.cv, self.co = nn.LayerNorm(d), nn.Linear(d, d), nn.Linear(d, d), nn.Linear(d, d), nn.Linear(d, d)
        self.n3, self.up, self.down = nn.LayerNorm(d), nn.Linear(d, ff), nn.Linear(ff, d)

    def attend(self, q, k, v, mask):
        b, s, d = q.shape
        split = lambda x: x.view(b, -1, self.heads, d // self.heads).transpose(1, 2)
        out = F.scaled_dot_product_attention(split(q), split(k), split(v), attn_mask=mask, dropout_p=self.drop if self.training else 0)
        return out.transpose(1, 2).reshape(b, s, d)

    def forward(self, x, mask, memory=None, memory_mask=None):
        dropped = lambda y: F.dropout(y, self.drop, self.training)
        h = self.n1(x)
        x = x + dropped(self.o(self.attend(self.q(h), self.k(h), self.v(h), mask)))
        if self.cross:
            h = self.n2(x)
            x = x + dropped(self.co(self.attend(self.cq(h), self.ck(memory), self.cv(memory), memory_mask)))
        h = self.n3(x)
        return x + dropped(self.down(F.relu(self.up(h))))


class PretrainedLayer(nn.Module):
    """As in BERT (Devlin and others 2018): normalised behind each part."""

    def __init__(self, d, heads, ff, drop):
        super().__init__()
        self.heads, self.drop = heads, drop
        self.q, self.k, self.v, self.o, self.n1 = nn.Linear(d, d), nn.Linear(d, d), nn.Linear(d, d), nn.Linear(d, d), nn.LayerNorm(d, eps=1e-12)
        self.up, self.down, self.n2 = nn.Linear(d, ff), nn.Linear(ff, d), nn.LayerNorm(d, eps=1e-12)

    attend = Layer.attend

    def forward(self, x, mask):
        dropped = lambda y: F.dropout(y, self.drop, self.training)
        x = self.n1(x + dropped(self.o(self.attend(self.q(x), self.k(x), self.v(x), mask))))
        return self.n2(x + dropped(self.down(F.gelu(self.up(x)))))


def pretrained_state(table, layers):
    """Names of the encoder's tables here, and their numbers."""
    state = {
        'piece.weight': table['embeddings.word_embeddings.weight'],
        'place.weight': table['embeddings.position_embeddings.weight'] + table['embeddings.token_type_embeddings.weight'][0],
    }
    norm = lambda to, name: {f'{to}.{part}': table[f'{name}.{part}'] for part in ('weight', 'bias')}
    state |= norm('n_in', 'embeddings.LayerNorm')
    for at, layer in enumerate(layers):
        of = f'encoder.layer.{layer}'
        for name, there in (('q', 'attention.self.query'), ('k', 'attention.self.key'), ('v', 'attention.self.value'), ('o', 'attention.output.dense'),
                            ('n1', 'attention.output.LayerNorm'), ('up', 'intermediate.dense'), ('down', 'output.dense'), ('n2', 'output.LayerNorm')):
            state |= norm(f'encoder.{at}.{name}', f'{of}.{there}')
    return {name: torch.from_numpy(np.array(array, np.float32)) for name, array in state.items()}


class Model(nn.Module):
    def __init__(self, book, layers=6, d=256, heads=4, dec=2, wide=384, wide_heads=12, drop=0.15, drop_read=0.1):
        super().__init__()
        self.book, self.d, self.drop, self.drop_read, self.heads, self.wide_heads = book, d, drop, drop_read, heads, wide_heads
        self.piece = nn.Embedding(len(book.pieces.id), wide)
        self.place = nn.Embedding(160, wide)
        self.feature = nn.Embedding(len(book.features), wide, padding_idx=0)
        self.before = nn.Embedding(4, wide, padding_idx=0)
        self.said = nn.Embedding(len(book.features), d, padding_idx=0)
        self.turn = nn.Embedding(MOST_WRITTEN + 20, d)
        self.word = nn.Embedding(len(book.words), d)
        self.bias = nn.Parameter(torch.zeros(len(book.words)))
        nn.init.zeros_(self.feature.weight)
        nn.init.zeros_(self.before.weight)
        for e in (self.said, self.turn, self.word):
            nn.init.normal_(e.weight, std=0.05 if e is not self.word else d ** -0.5)
        with torch.no_grad():
            self.said.weight[0] = 0
        self.encoder = nn.ModuleList([PretrainedLayer(wide, wide_heads, wide * 4, drop_read) for _ in range(layers)])
        self.decoder = nn.ModuleList([Layer(d, heads, d * 3, True, drop) for _ in range(dec)])
        self.n_in = nn.LayerNorm(wide, eps=1e-12)
        self.narrow = nn.Linear(wide, d)
        self.n_enc, self.n_dec = nn.LayerNorm(d), nn.LayerNorm(d)
        self.copied, self.cq, self.ck = nn.Linear(d, d), nn.Linear(d, d), nn.Linear(d, d)

    def encode(self, feats, pieces, part, first, mask):
        x = self.piece(pieces) + self.place.weight[:pieces.shape[1]] + self.before(part)
        # What the lexicon says of a symbol stands at its first piece.
        at = first[..., None].expand(-1, -1, x.shape[-1])
        known = self.feature(feats).sum(2) * mask[..., None]
        x = x.scatter_add(1, at, known.to(x.dtype))
        x = F.dropout(self.n_in(x), self.drop_read, self.training)
        attend = (pieces != 0)[:, None, None, :]
        for layer in self.encoder:
            x = layer(x, attend)
        x = x.gather(1, at)
        return self.n_enc(F.dropout(self.narrow(x), self.drop, self.training) + self.said(feats).sum(2))

    def forward(self, feats, pieces, part, first, mask, prev_word, prev_copy):
        return self.decode(self.encode(feats, pieces, part, first, mask), mask, prev_word, prev_copy)

    def decode(self, memory, mask, prev_word, prev_copy):
        b, t = prev_word.shape
        at = prev_copy.clamp(min=0)[..., None].expand(-1, -1, self.d)
        y = torch.where((prev_copy >= 0)[..., None], self.copied(memory.gather(1, at)), self.word(prev_word.clamp(min=0)) * self.d ** 0.5)
        y = F.dropout(y + self.turn.weight[:t], self.drop, self.training)
        causal = torch.ones(t, t, dtype=torch.bool, device=y.device).tril()[None, None]
        for layer in self.decoder:
            y = layer(y, causal, memory, mask[:, None, None, :])
        h = self.n_dec(y)
        words = h @ self.word.weight.T + self.bias
        copies = self.cq(h) @ self.ck(memory).transpose(1, 2) / self.d ** 0.5
        copies = copies.masked_fill(~mask[:, None, :], -1e4)
        return torch.cat([words, copies], -1)


def loss_of(logits, right_word, right_copy, real):
    logits = logits.float()
    total = torch.logsumexp(logits, -1)
    words = logits.shape[-1] - right_copy.shape[-1]
    word = logits.gather(-1, right_word.clamp(min=0)[..., None])[..., 0].masked_fill(right_word < 0, -1e4)
    copies = logits[..., words:].masked_fill(~right_copy, -1e4)
    hit = torch.logsumexp(torch.cat([word[..., None], copies], -1), -1)
    return ((total - hit) * real).sum() / real.sum()


@torch.no_grad()
def greedy(model, batch, device):
    feats, pieces, part, first, mask = [x.to(device) for x in batch[:5]]
    memory = model.encode(feats, pieces, part, first, mask)
    n, words = len(feats), len(model.book.words)
    prev_word = torch.zeros((n, 1), dtype=torch.long, device=device)
    prev_copy = torch.full((n, 1), -1, dtype=torch.long, device=device)
    out = [[] for _ in range(n)]
    done = [False] * n
    for _ in range(MOST_WRITTEN):
        best = model.decode(memory, mask, prev_word, prev_copy)[:, -1].argmax(-1)
        for i, b in enumerate(best.tolist()):
            if done[i]:
                continue
            if b == 0:
                done[i] = True
            else:
                out[i].append(b)
        prev_word = torch.cat([prev_word, torch.where(best < words, best, -1)[:, None]], 1)
        prev_copy = torch.cat([prev_copy, torch.where(best >= words, best - words, -1)[:, None]], 1)
        if all(done):
            break
    return out


def surface(choices, pair, book):
    return [book.words[c] if c < len(book.words) else f"{pair['said'][c - len(book.words)]['text']}" for c in choices]


def wanted(pair):
    return [s['word'] if 'word' in s else pair['said'][s['copies'][0]]['text'] for s in pair['steps']]


def measure(model, pairs, book, device, show=0):
    model.eval()
    right, lines = 0, []
    for at in range(0, len(pairs), 256):
        part = pairs[at:at + 256]
        for pair, choices in zip(part, greedy(model, tensors(part, book), device)):
            got, want = surface(choices, pair, book), wanted(pair)
            right += got == want
            if got != want and len(lines) < show:
                lines.append(f"{pair['text']}\n    want {' '.join(want)}\n    got  {' '.join(got)}")
    model.train()
    return right / max(1, len(pairs)), lines


class Teachers:
    """Networks of one shape that were kept before, asked together: one pass over all of them."""

    def __init__(self, paths, book, device):
        models = []
        for path in paths.split(','):
            kept = torch.load(path, map_location=device)
            model = Model(book, layers=kept['layers'], dec=kept['dec'])
            model.load_state_dict(kept['state'])
            models.append(model.to(device, torch.bfloat16 if device == 'cuda' else torch.float32).eval())
        self.shape = models[0]
        self.state = torch.func.stack_module_state(models)
        self.all = torch.func.vmap(self.one, in_dims=(0, 0) + (None,) * 7)

    def one(self, parameters, buffers, feats, pieces, part, first, mask, prev_word, prev_copy):
        model = lambda *given: torch.func.functional_call(self.shape, (parameters, buffers), given)
        return F.softmax(model(feats, pieces, part, first, mask, prev_word, prev_copy).float(), -1)

    @torch.no_grad()
    def mean(self, *batch):
        with torch.nn.attention.sdpa_kernel(torch.nn.attention.SDPBackend.MATH):
            return self.all(*self.state, *batch).mean(0)


class Batches(torch.utils.data.IterableDataset):
    def __init__(self, pairs, weights, book, size, seed):
        self.pairs, self.weights, self.book, self.size, self.seed = pairs, weights, book, size, seed

    def __iter__(self):
        info = torch.utils.data.get_worker_info()
        rng = random.Random(self.seed * 1000 + (info.id if info else 0))
        while True:
            # Alike in length, so that little is padded.
            many = rng.choices(self.pairs, self.weights, k=self.size * 8)
            many = [changed(p, self.pairs, rng) if rng.random() < 0.9 else p for p in many]
            many = [p for p in many if p['said'] and len(p['said']) <= MOST_SAID and len(p['steps']) < MOST_WRITTEN and self.book.steps(p) is not None]
            many.sort(key=lambda p: len(p['said']))
            parts = [many[i:i + self.size] for i in range(0, len(many), self.size)]
            rng.shuffle(parts)
            for part in parts:
                if part:
                    yield tensors(part, self.book)


def save(model, book, path):
    """Safetensors: matrices as bytes with a scale a row, the rest as floats; names of features and words beside them."""
    header, blobs, at = {}, [], 0

    def put(name, kind, array):
        nonlocal at
        data = array.tobytes()
        header[name] = {'dtype': kind, 'shape': list(array.shape), 'data_offsets': [at, at + len(data)]}
        blobs.append(data)
        at += len(data)
    for name, value in model.state_dict().items():
        array = value.detach().float().cpu().numpy()
        if array.ndim == 2:
            scale = np.abs(array).max(1) / 127
            scale[scale == 0] = 1
            put(name, 'I8', np.round(array / scale[:, None]).astype(np.int8))
            put(name + '.scale', 'F32', scale.astype(np.float32))
        else:
            put(name, 'F32', array.astype(np.float32))
    header['__metadata__'] = {
        'features': '\n'.join(book.features[1:]), 'words': '\n'.join(book.words[1:]), 'pieces': '\n'.join(book.pieces.id), 'wide_heads': str(model.wide_heads), 'heads': str(model.heads), 'encoder': str(len(model.encoder)), 'decoder': str(len(model.decoder)),
    }
    # Floats stand at multiples of four.
    text = json.dumps(header).encode()
    text += b' ' * (-len(text) % 8)
    with open(path, 'wb') as out:
        out.write(struct.pack('<Q', len(text)) + text + b''.join(blobs))


def main():
    p = argparse.ArgumentParser()
    p.add_argument('out')
    p.add_argument('pairs')
    p.add_argument('--extra')
    p.add_argument('--pretrained', required=True)
    p.add_argument('--layers', default='0,1,2,3,4,5')
    p.add_argument('--read-rate', type=float, default=1e-4)
    p.add_argument('--drop-read', type=float, default=0.1)
    p.add_argument('--seconds', type=float, default=200)
    p.add_argument('--drop', type=float, default=0.15)
    p.add_argument('--batch', type=int, default=256)
    p.add_argument('--rate', type=float, default=1.5e-3)
    p.add_argument('--workers', type=int, default=5)
    p.add_argument('--seed', type=int, default=1)
    p.add_argument('--extra-share', type=float, default=0.25)
    p.add_argument('--agree', type=float, default=2.0)
    p.add_argument('--dec', type=int, default=2)
    p.add_argument('--keep')
    p.add_argument('--teachers', default='')
    p.add_argument('--taught', type=float, default=2.0)
    a = p.parse_args()
    torch.manual_seed(a.seed)
    random.seed(a.seed)
    pairs = [json.loads(line) for line in open(a.pairs)]
    held = [q for q in pairs if q['held']]
    own = [q for q in pairs if not q['held']]
    extra = [json.loads(line) for line in open(a.extra)] if a.extra else []
    table = dict(np.load(a.pretrained))
    book = Book(own + extra, [str(piece) for piece in table['pieces']])
    train = [q for q in own + extra if book.steps(q) is not None]
    n_own = sum(1 for q in own if book.steps(q) is not None)
    weights = [1.0] * n_own + [a.extra_share / (1 - a.extra_share) * n_own / max(1, len(train) - n_own)] * (len(train) - n_own)
    print(f'{n_own} own pairs, {len(train) - n_own} more, {len(held)} held; {len(book.features)} features, {len(book.words)} words', flush=True)
    device = 'cuda' if torch.cuda.is_available() else 'cpu'
    layers = [int(layer) for layer in a.layers.split(',')]
    model = Model(book, layers=len(layers), dec=a.dec, drop=a.drop, drop_read=a.drop_read)
    read = pretrained_state(table, layers)
    model.load_state_dict(read, strict=False)
    model = model.to(device)
    print(sum(q.numel() for q in model.parameters()), 'weights', flush=True)
    teachers = Teachers(a.teachers, book, device) if a.teachers else None
    mean = torch.optim.swa_utils.AveragedModel(model, multi_avg_fn=torch.optim.swa_utils.get_ema_multi_avg_fn(0.985))
    # What it has read before changes slowly.
    parts = [([q for n, q in model.named_parameters() if n in read], a.read_rate), ([q for n, q in model.named_parameters() if n not in read], a.rate)]
    best = torch.optim.AdamW([{'params': some, 'lr': rate, 'top': rate} for some, rate in parts], betas=(0.9, 0.98), weight_decay=0.05, fused=device == 'cuda')
    begun, step, told = time.time(), 0, 0
    loader = torch.utils.data.DataLoader(Batches(train, weights, book, a.batch, a.seed), batch_size=None, num_workers=a.workers, prefetch_factor=8, pin_memory=device == 'cuda')
    for batch in loader:
        part = (time.time() - begun) / a.seconds
        if part >= 1:
            break
        share = min(1, (step + 1) / 300) * 0.5 * (1 + math.cos(math.pi * part))
        for g in best.param_groups:
            g['lr'] = g['top'] * share
        feats, pieces, part_of, first, mask, prev_word, prev_copy, right_word, right_copy, real = [x.to(device, non_blocking=True) for x in batch]
        # Twice with other units dropped: both must say the same (R-Drop, Liang and others 2021).
        twice = lambda x: torch.cat([x, x])
        with torch.autocast(device, torch.bfloat16, enabled=device == 'cuda'):
            memory = model.encode(twice(feats), twice(pieces), twice(part_of), twice(first), twice(mask))
            logits = model.decode(memory, twice(mask), twice(prev_word), twice(prev_copy)).float()
        loss = loss_of(logits, twice(right_word), twice(right_copy), twice(real))
        one, other = F.log_softmax(logits, -1).chunk(2)
        apart = (one.exp() - other.exp()) * (one - other)
        loss = loss + a.agree * 0.5 * ((apart.sum(-1) * real).sum() / real.sum())
        if teachers:
            said = teachers.mean(feats, pieces, part_of, first, mask, prev_word, prev_copy)
            loss = loss - a.taught * 0.5 * ((said * (one + other)).sum(-1) * real).sum() / real.sum()
        best.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(model.parameters(), 1.0)
        best.step()
        if step % 8 == 0:
            mean.update_parameters(model)
        step += 1
        if time.time() - begun > told + a.seconds / 8:
            told = time.time() - begun
            share, _ = measure(mean.module, held[:512], book, device) if held else (0, [])
            print(f'{told:.0f} s, step {step}, loss {loss.item():.4f}, held {share:.4f}', flush=True)
    final = mean.module
    final.eval()
    if held:
        share, lines = measure(final, held, book, device, 60)
        alone, _ = measure(final, [{**pair, 'before': []} for pair in held], book, device)
        print(f'step {step}, held {share:.4f} of {len(held)}, without what came before {alone:.4f}')
        print('\n'.join(lines))
    else:
        print(f'step {step}')
    save(final, book, a.out)
    if a.keep:
        torch.save({'state': {n: v.half() for n, v in final.state_dict().items()}, 'layers': len(layers), 'dec': a.dec}, a.keep)


if __name__ == '__main__':
    main()
