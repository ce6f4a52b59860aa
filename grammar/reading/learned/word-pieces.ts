/**
 * Pieces of words (Wu and others 2016): the longest known beginning of a word, then the longest known rest, and so on. The
 * table is that of the text that the encoder has read.
 */

/** More letters than any word has. */
const mostLetters = 40;
const unknown = '[UNK]';
const isMarkOfLetter = /\p{Mn}/gu;
const parts = /[\p{L}\p{N}]+|[^\p{L}\p{N}\s]/gu;

export class WordPieces {
  private readonly places: ReadonlyMap<string, number>;

  constructor(table: readonly string[]) {
    this.places = new Map(table.map((piece, at) => [piece, at]));
  }

  /** The place of a piece or mark; that of what is unknown where there is none. */
  place(piece: string): number {
    return this.places.get(piece) ?? this.places.get(unknown) ?? 0;
  }

  /** At least one. */
  of(word: string): number[] {
    const plain = word.toLowerCase().normalize('NFD').replace(isMarkOfLetter, '');
    const found = [...([...plain].slice(0, mostLetters).join('').match(parts) ?? [])].flatMap((part) =>
      this.cut([...part]),
    );
    return found.length === 0 ? [this.place(unknown)] : found;
  }

  private cut(letters: readonly string[]): number[] {
    const pieces: number[] = [];
    for (let at = 0; at < letters.length; ) {
      const rest = letters.slice(at);
      const many = rest.findLastIndex((_, last) => this.places.has(pieceOf(rest, last + 1, at))) + 1;
      if (many === 0) return [this.place(unknown)];
      pieces.push(this.place(pieceOf(rest, many, at)));
      at += many;
    }
    return pieces;
  }
}

/** A piece within a word is marked as one. */
const pieceOf = (letters: readonly string[], many: number, at: number): string =>
  (at > 0 ? '##' : '') + letters.slice(0, many).join('');
