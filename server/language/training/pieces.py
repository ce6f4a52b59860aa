"""Pieces of words (Wu and others 2016): the longest known beginning, then the longest known rest."""
import unicodedata

MOST_LETTERS = 40


class Pieces:
    def __init__(self, table):
        self.id = {piece: at for at, piece in enumerate(table)}
        self.known = {}

    def of(self, word):
        found = self.known.get(word)
        if found is None:
            found = self.known[word] = self.cut(word)
        return found

    def cut(self, word):
        plain = ''.join(c for c in unicodedata.normalize('NFD', word.lower()) if unicodedata.category(c) != 'Mn')
        parts, part = [], ''
        for c in plain[:MOST_LETTERS]:
            if c.isalnum():
                part += c
            else:
                parts += [part, c] if part else [c]
                part = ''
        if part:
            parts.append(part)
        return [piece for one in parts if not one.isspace() for piece in self.part(one)] or [self.id['[UNK]']]

    def part(self, text):
        pieces, at = [], 0
        while at < len(text):
            end = len(text)
            while end > at and (('##' if at else '') + text[at:end]) not in self.id:
                end -= 1
            if end == at:
                return [self.id['[UNK]']]
            pieces.append(self.id[('##' if at else '') + text[at:end]])
            at = end
        return pieces
