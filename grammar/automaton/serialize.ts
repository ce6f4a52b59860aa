/**
 * The compiled automaton as bytes, so that a page or a server need not compile the description at every start. Columns
 * of small numbers, each the difference from what was to be expected, seven bits a byte; the words and tags are JSON.
 */
import { err, ok, type Result } from '../../shared/core/result.ts';
import type { Tag } from '../description/tags.ts';
import type { ArcWeights, Automaton } from './automaton.ts';
import { mostWords } from './determinise.ts';

/** Raised when the layout of the bytes changes. */
const layout = 4;
/** Usage is kept in steps of this many to the nat. */
export const weightSteps = 16;

interface Head {
  readonly layout: number;
  readonly version: string;
  readonly words: readonly string[];
  readonly start: number;
  readonly again?: number | undefined;
  readonly states: number;
  /** Each tag once; the sequences are two columns, how many and which. */
  readonly tags: readonly Tag[];
  /** Numbers in each column, in the order of `columnsOf`. */
  readonly lengths: readonly number[];
}

/** Columns of which each number is written as its difference from the one before. */
const columnsOf = (automaton: Automaton, sequences: Sequences): readonly Uint32Array[] => [
  sequences.lengths,
  sequences.which,
  automaton.arcFrom,
  automaton.arcTags,
  automaton.finalFrom,
  automaton.finalTags,
  automaton.tagsBefore ?? nothing,
  inSteps(automaton.arcWeights?.arc),
  inSteps(automaton.arcWeights?.end),
];

/** Sequences of tags by the places of their tags in a list of each once: most tags stand in many sequences. */
interface Sequences {
  readonly tags: readonly Tag[];
  readonly lengths: Uint32Array;
  readonly which: Uint32Array;
}

function sequencesOf({ tagSequences }: Automaton): Sequences {
  const all = tagSequences.flat();
  // Tags of one field stand together: both the list and what refers to it pack better.
  const tags = [...new Map(all.map((tag) => [JSON.stringify(tag), tag])).values()].sort(byField);
  const places = new Map(tags.map((tag, place) => [JSON.stringify(tag), place]));
  return {
    tags,
    lengths: Uint32Array.from(tagSequences, ({ length }) => length),
    which: Uint32Array.from(all, (tag) => places.get(JSON.stringify(tag)) ?? 0),
  };
}

const fieldOf = (tag: Tag): string => `${tag.op} ${'path' in tag ? tag.path : ''}`;
function byField(a: Tag, b: Tag): number {
  const [one, other] = [fieldOf(a), fieldOf(b)];
  return one < other ? -1 : one > other ? 1 : 0;
}

function tagSequencesOf({ tags, lengths, which }: Sequences): Tag[][] {
  let at = 0;
  return Array.from(lengths, (length) =>
    Array.from({ length }, () => {
      const tag = tags[which[at++]!];
      if (tag === undefined) throw new RangeError('no such tag');
      return tag;
    }),
  );
}

/**
 * Where an arc of a word with its tags leads, most often: where the last such arc led. So a target is written as 0 where
 * that holds, else as one more than its folded difference from the target of the arc before.
 */
class Targets {
  private readonly last = new Map<number, number>();
  private before = 0;

  /** What is expected of the next arc. */
  expected(word: number, tags: number): number | undefined {
    return this.last.get(tags * mostWords + word);
  }

  step(to: number): number {
    return fold(to - this.before) + 1;
  }

  fromStep(step: number): number {
    return this.before + unfold(step - 1);
  }

  take(word: number, tags: number, to: number): void {
    this.last.set(tags * mostWords + word, to);
    this.before = to;
  }
}

/** Differences of either sign as numbers from 0 up. */
const fold = (step: number): number => (step < 0 ? -2 * step - 1 : 2 * step);
const unfold = (coded: number): number => (coded % 2 === 1 ? -(coded + 1) / 2 : coded / 2);

const nothing = new Uint32Array(0);
const inSteps = (costs: Float32Array | undefined): Uint32Array =>
  costs === undefined ? nothing : Uint32Array.from(costs, (cost) => Math.round(cost * weightSteps));
const inNats = (steps: Uint32Array): Float32Array => Float32Array.from(steps, (step) => step / weightSteps);

/** The bytes of an automaton; compress them for the way, they shrink to about a third. */
export function serialize(automaton: Automaton): Uint8Array {
  const sequences = sequencesOf(automaton);
  const columns = columnsOf(automaton, sequences);
  const head: Head = {
    layout,
    version: automaton.version,
    words: automaton.words,
    start: automaton.start,
    again: automaton.again,
    states: automaton.states,
    tags: sequences.tags,
    lengths: columns.map((column) => column.length),
  };
  const json = new TextEncoder().encode(JSON.stringify(head));
  const bytes: number[] = [];
  number(json.length);
  const first = bytes.length;
  for (const column of columns) {
    let before = 0;
    for (const value of column) {
      number(fold((value | 0) - before));
      before = value | 0;
    }
  }
  // Words of a state's arcs ascend.
  const { arcFrom, arcWord, arcTo, arcTags } = automaton;
  for (let state = 0; state < automaton.states; state++)
    for (let arc = arcFrom[state]!, before = 0; arc < arcFrom[state + 1]!; arc++) {
      number(arcWord[arc]! - before);
      before = arcWord[arc]!;
    }
  const targets = new Targets();
  for (let arc = 0; arc < arcTo.length; arc++) {
    const [word, tags, to] = [arcWord[arc]!, arcTags[arc]!, arcTo[arc]!];
    number(targets.expected(word, tags) === to ? 0 : targets.step(to));
    targets.take(word, tags, to);
  }
  const packed = new Uint8Array(bytes.length + json.length);
  packed.set(bytes.slice(0, first), 0);
  packed.set(json, first);
  packed.set(bytes.slice(first), first + json.length);
  return packed;

  function number(value: number): void {
    let rest = value;
    while (rest > 127) {
      bytes.push((rest % 128) | 128);
      rest = Math.floor(rest / 128);
    }
    bytes.push(rest);
  }
}

/** The automaton of packed bytes, or the sentence why they are none of ours. */
export function deserialize(bytes: Uint8Array): Result<Automaton, string> {
  let at = 0;
  const number = (): number => {
    let value = 0;
    for (let scale = 1; ; scale *= 128) {
      const byte = bytes[at++];
      if (byte === undefined) throw new RangeError('cut short');
      value += (byte & 127) * scale;
      if (byte < 128) return value;
    }
  };
  try {
    const length = number();
    const head = JSON.parse(new TextDecoder().decode(bytes.subarray(at, at + length))) as Head;
    at += length;
    if (head.layout !== layout)
      return err(`The language file has layout ${head.layout}, expected ${layout}.`);
    const columns = head.lengths.map((count) => {
      const column = new Uint32Array(count);
      let value = 0;
      for (let i = 0; i < count; i++) {
        value += unfold(number());
        column[i] = value;
      }
      return column;
    });
    const [lengths, which, arcFrom, arcTags, finalFrom, finalTags, tagsBefore, arc, end] = columns as [
      Uint32Array,
      Uint32Array,
      Uint32Array,
      Uint32Array,
      Uint32Array,
      Uint32Array,
      ...Uint32Array[],
    ];
    const { version, words, start, again, states, tags } = head;
    const arcWord = new Uint32Array(arcTags.length);
    for (let state = 0; state < states; state++)
      for (let each = arcFrom[state]!, before = 0; each < arcFrom[state + 1]!; each++) {
        before += number();
        arcWord[each] = before;
      }
    const arcTo = new Uint32Array(arcTags.length);
    const targets = new Targets();
    for (let each = 0; each < arcTo.length; each++) {
      const [word, tags, step] = [arcWord[each]!, arcTags[each]!, number()];
      const to = step === 0 ? targets.expected(word, tags) : targets.fromStep(step);
      if (to === undefined) return err('The language file is damaged.');
      arcTo[each] = to;
      targets.take(word, tags, to);
    }
    if (at !== bytes.length) return err('The language file is longer than it says.');
    const arcWeights: ArcWeights | undefined =
      arc?.length && end ? { arc: inNats(arc), end: inNats(end) } : undefined;
    return ok({
      version,
      words,
      // Word 0 is any word: no text finds it.
      wordId: new Map(words.map((word, id) => [word, id] as const).slice(1)),
      start,
      ...(again === undefined ? {} : { again }),
      states,
      arcFrom,
      arcWord,
      arcTo,
      arcTags,
      finalFrom,
      finalTags,
      tagSequences: tagSequencesOf({ tags, lengths, which }),
      ...(tagsBefore?.length ? { tagsBefore } : {}),
      ...(arcWeights ? { arcWeights } : {}),
    });
  } catch {
    return err('The language file is damaged.');
  }
}
