/**
 * Draws sentences with their notes from the description: the source of property tests, benches and training text.
 * The random numbers are handed in, so a seed gives the same sentences everywhere.
 */
import type { Note } from '../../shared/note/note.ts';
import { noteSchema } from '../../shared/note/note.ts';
import { Meaning } from '../automaton/meaning.ts';
import type { Rule } from '../description/model.ts';
import { joinPath, type Node, placeTag } from '../description/patterns.ts';
import { digitWords, patternOf, type Syntax } from '../description/syntax.ts';
import type { Tag } from '../description/tags.ts';
import { createNumberParts, type NumberParts } from './number-parts.ts';

export interface Sample {
  readonly rule: string;
  readonly words: string;
  /** The words as they are written: a comma where a number or a name ends and another number begins. */
  readonly written: string;
  readonly note: Note;
}

interface Sampler {
  /** One sentence; `random` gives numbers from 0 to below 1. */
  sample(random: () => number): Sample;
  /** One sentence of a named rule of a family. */
  sampleRule(id: string, random: () => number): Sample;
}

/** Habits of whoever speaks, as shares of 1. */
interface Habits {
  /** How often a repeated part is said once more. */
  readonly again: number;
  /** How often an optional part is said. */
  readonly optional: number;
  /** How often the first of a few alternatives is taken before all are as likely. */
  readonly first: number;
}

const evenly: Habits = { again: 0.4, optional: 0.35, first: 0 };
/** Of longer lists, as of species, no member is the usual one. */
const fewAlternatives = 8;
/** Draws that may fail (a note outside of its ranges) before the sampler gives up. */
const tries = 200;

/** The sampler of a description: rules by weight, alternatives evenly, numbers within the ranges of the patterns. */
export function createSampler(trees: Syntax, habits: Habits = evenly): Sampler {
  const parts = createNumberParts(trees);
  const digits = digitWords(trees);
  const total = trees.roots.reduce((sum, rule) => sum + (rule.weight ?? 1), 0);
  const draw = (rule: Rule, random: () => number): Sample => {
    for (let i = 0; i < tries; i++) {
      const walk = new Walk(trees, parts, digits, random, habits);
      walk.say(patternOf(trees, rule.id), '');
      const note = walk.note();
      if (note !== undefined && noteSchema.safeParse(note).success)
        return { rule: rule.id, words: walk.words.join(' '), written: walk.written(), note };
    }
    throw new Error(`rule "${rule.id}" gives no valid note in ${tries} draws`);
  };
  return {
    sample(random) {
      let at = random() * total;
      for (const rule of trees.roots) {
        at -= rule.weight ?? 1;
        if (at < 0) return draw(rule, random);
      }
      return draw(trees.roots[trees.roots.length - 1]!, random);
    },
    sampleRule(id, random) {
      const rule = trees.roots.find((root) => root.id === id);
      if (rule === undefined) throw new Error(`no rule of a family is called "${id}"`);
      return draw(rule, random);
    },
  };
}

/** One random walk through the patterns: words and, in between, tags. */
class Walk {
  readonly words: string[] = [];
  /** Tags with the number of words before each. */
  private readonly tags: { readonly tag: Tag; readonly at: number }[] = [];
  private readonly free: { readonly from: number; readonly to: number }[] = [];
  /** Words with a comma before them. */
  private readonly parted = new Set<number>();
  /** True while a number is said. */
  private inNumber = false;
  /** True once a field took the number. */
  private taken = true;
  /** Where a number or a name ended; -1 before the first. */
  private ended = -1;

  constructor(
    private readonly trees: Syntax,
    private readonly parts: NumberParts,
    private readonly digits: ReadonlySet<string>,
    private readonly random: () => number,
    private readonly habits: Habits,
  ) {}

  private below(n: number): number {
    return Math.floor(this.random() * n);
  }

  written(): string {
    return this.words.map((word, at) => (this.parted.has(at + 1) ? `${word},` : word)).join(' ');
  }

  /** A number begins here: behind another number or a name it is parted from it. */
  private part(): void {
    if (this.taken && this.ended === this.words.length) this.parted.add(this.words.length);
  }

  say(node: Node, under: string): void {
    if (this.inNumber || node.is === 'tag' || node.is === 'word' || !this.parts.isNumeric(node)) {
      this.sayInside(node, under);
      return;
    }
    this.part();
    this.inNumber = true;
    this.taken = false;
    this.sayInside(node, under);
    this.inNumber = false;
    this.ended = this.words.length;
  }

  private sayInside(node: Node, under: string): void {
    switch (node.is) {
      case 'word':
        if (!this.inNumber && this.digits.has(node.word)) this.part();
        this.words.push(node.word);
        return;
      case 'tag':
        if (node.tag.op === 'number' || node.tag.op === 'pair') this.taken = true;
        this.tags.push({ tag: placeTag(node.tag, under), at: this.words.length });
        return;
      case 'free':
        this.sayFree(node.text);
        return;
      case 'choice': {
        const { first } = this.habits;
        const usual = first > 0 && node.options.length <= fewAlternatives && this.random() < first;
        this.say(node.options[usual ? 0 : this.below(node.options.length)]!, under);
        return;
      }
      case 'optional':
        if (this.random() < this.habits.optional) this.say(node.item, under);
        return;
      case 'sequence':
        for (const item of node.items) this.say(item, under);
        return;
      case 'anyOrder': {
        const left = [...node.items];
        while (left.length > 0) this.say(left.splice(this.below(left.length), 1)[0]!, under);
        return;
      }
      case 'rule':
        this.sayRule(node, under);
    }
  }

  private sayFree(text: boolean): void {
    const from = this.words.length;
    // "Call maple, hard rock": a name right behind another one.
    const last = this.tags.at(-1);
    if (last?.tag.op === 'const' && last.at === from && from > 0) this.parted.add(from);
    const { freeWords: all, nameWords = all } = this.trees.description;
    const freeWords = text ? all : nameWords;
    const { again } = this.habits;
    const count = 1 + (this.random() < again ? 1 : 0) + (this.random() < again ? 1 : 0);
    for (let i = 0; i < count; i++) {
      const at = this.below(freeWords.length);
      // A word twice in a row is a stammer, not a name.
      const next = freeWords[at] === this.words.at(-1) ? at + 1 : at;
      this.words.push(freeWords[next % freeWords.length] ?? 'alder');
    }
    this.free.push({ from, to: this.words.length });
    this.ended = this.words.length;
  }

  private sayRule(node: Node & { is: 'rule' }, under: string): void {
    for (let more = false; ; more = true) {
      if (more && !this.inNumber) this.parted.add(this.words.length);
      if (node.range === undefined || !this.inRange(node, node.range)) {
        this.say(patternOf(this.trees, node.id), joinPath(under, node.under));
      }
      if (!node.repeat || this.random() >= this.habits.again) return;
    }
  }

  /** Says a number from a range: half of the time the usual words of a drawn value, else whatever the walk gives. */
  private inRange(node: Node & { is: 'rule' }, [low, high]: readonly [number, number]): boolean {
    if (this.random() < 0.5) {
      for (let i = 0; i < 12; i++) {
        const walk = new Walk(this.trees, this.parts, this.digits, this.random, this.habits);
        walk.say({ ...node, range: undefined, repeat: false }, '');
        const value = walk.value();
        if (value === undefined) break;
        if (value < low || value > high) continue;
        for (const { tag, at } of walk.tags) this.tags.push({ tag, at: this.words.length + at });
        this.words.push(...walk.words);
        return true;
      }
    }
    const part = this.parts.partOf({ ...node, repeat: false });
    if (part === undefined || part === 'pair') return false;
    const roll = this.random();
    const drawn = low + this.random() * (high - low);
    const step = roll < 0.6 ? 1 : roll < 0.8 ? 2 : 10;
    const value = Math.min(Math.floor(high), Math.max(Math.ceil(low), Math.round(drawn * step) / step));
    const units = this.parts.units(part);
    const unit = units[this.below(units.length)];
    const words = this.parts.say(part, { value, unit });
    if (words === undefined) return false;
    this.words.push(...words.split(' '));
    const at = this.words.length;
    // A whole number may have decimals behind it: they are added to it as they are read, so that both come out alike.
    const action = Number.isInteger(value) ? 'add' : 'part';
    this.tags.push({ tag: { op: 'digit', action, value }, at });
    if (unit !== undefined) this.tags.push({ tag: { op: 'unit', unit }, at });
    return true;
  }

  /** The number that was said, when nothing else was. */
  private value(): number | undefined {
    if (this.tags.some(({ tag }) => tag.op !== 'digit' && tag.op !== 'unit')) return undefined;
    const { value } = run([
      ...this.tags.map(({ tag }) => tag),
      { op: 'number', path: 'value', sign: 1, quantity: false, append: false },
    ]);
    return typeof value === 'number' ? value : undefined;
  }

  /** What was said means; undefined when a number is more than its field can hold. */
  note(): Note | undefined {
    const meaning = new Meaning(this.tags.map(({ tag }) => [tag]));
    meaning.begin();
    this.tags.forEach(({ at }, index) => {
      const span = this.free.findLast((free) => free.to <= at);
      meaning.run(index, span === undefined ? '' : this.words.slice(span.from, span.to).join(' '));
    });
    const note = meaning.end();
    return meaning.outside === undefined ? note : undefined;
  }
}

function run(tags: readonly Tag[]): Readonly<Record<string, unknown>> {
  const meaning = new Meaning([tags]);
  meaning.begin();
  meaning.run(0, '');
  return meaning.fields();
}
