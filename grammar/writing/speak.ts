/**
 * Says a note in canonical words: walks the patterns against the fields of the note, first alternatives first,
 * until every field is said exactly once. A comma parts a number from the number or the name before it,
 * and what is said once more.
 * Law: reading what is spoken of a note gives that note.
 */

import type { Note } from '../../shared/note/note.ts';
import { joinPath } from '../description/patterns.ts';
import type { Said } from '../description/spell-numbers.ts';
import { digitWords, patternOf, type Syntax } from '../description/syntax.ts';
import type { Tag } from '../description/tags.ts';
import { createNumberParts, type NumberParts } from './number-parts.ts';
import { type Need, needsOf, resolveSteps, type Step } from './steps.ts';

export interface Speaker {
  /** Canonical words, or undefined when no rule can say this note. */
  speak(note: Note): string | undefined;
}

/** The speaker of a description. */
export function createSpeaker(trees: Syntax): Speaker {
  const known = new Map<string, Step>();
  const parts = createNumberParts(trees);
  const digits = digitWords(trees);
  const roots = trees.roots.map((rule) =>
    resolveSteps({ trees, parts, known }, patternOf(trees, rule.id), ''),
  );
  return {
    speak(note) {
      const speech = new Speech(note, parts, digits);
      for (const root of roots) {
        const words = speech.try(root);
        if (words !== undefined) return words;
      }
      return undefined;
    },
  };
}

/** A value of the note that has to be said once; `[]` marks the elements of a list. */
interface Leaf {
  readonly path: string;
  readonly value: unknown;
}

class Speech {
  private readonly leaves: Leaf[] = [];
  private readonly index = new Map<string, number[]>();
  private readonly said: boolean[] = [];
  private left = 0;
  private readonly words: string[] = [];
  /** Which of the words are numbers or names, by their places. */
  private readonly numbers = new Set<number>();
  private readonly names = new Set<number>();
  /** Where something is said once more, or a name follows another. */
  private readonly parted = new Set<number>();
  /** Where the last name of the description ended; -1 for none. */
  private named = -1;
  /** The number part, or free words, that a tag will fill; -1 for none. */
  private slot = -1;
  private slotPart = '';
  private slotSaid: Said | undefined;
  private freeSlot = -1;
  /** The unit that was said beside the number part. */
  private slotUnit: string | undefined;
  /** Counts what was said of the note; optional words must raise it. */
  private progress = 0;

  constructor(
    note: Note,
    private readonly parts: NumberParts,
    private readonly digits: ReadonlySet<string>,
  ) {
    this.collect('', note);
    this.left = this.leaves.length;
  }

  private collect(path: string, value: unknown): void {
    if (Array.isArray(value)) {
      if (path === 'pair') this.leaf(path, value);
      else for (const item of value) this.collect(`${path}[]`, item);
    } else if (typeof value === 'object' && value !== null) {
      if (path.endsWith('[]')) this.leaf(path, value);
      else
        for (const key in value) this.collect(joinPath(path, key), (value as Record<string, unknown>)[key]);
    } else if (value !== undefined) {
      this.leaf(path, value);
    }
  }

  private leaf(path: string, value: unknown): void {
    const places = this.index.get(path);
    if (places === undefined) this.index.set(path, [this.leaves.length]);
    else places.push(this.leaves.length);
    this.leaves.push({ path, value });
    this.said.push(false);
  }

  try(step: Step): string | undefined {
    if (!this.has(needsOf(step))) return undefined;
    return this.walk(step, () => this.left === 0 && this.slotDone()) ? this.written() : undefined;
  }

  private written(): string {
    let text = '';
    let open = false;
    this.words.forEach((word, at) => {
      if (word === '') return;
      const number = this.numbers.has(at);
      if ((open && (number || this.digits.has(word))) || this.parted.has(at)) text += ',';
      text += text === '' ? word : ` ${word}`;
      open = number || this.names.has(at);
    });
    return text;
  }

  /** Whether the note has all of these, said already or not. */
  private has(needs: readonly Need[]): boolean {
    for (const { path, value } of needs) {
      const places = this.index.get(path);
      if (places === undefined || (value !== undefined && this.leaves[places[0]!]!.value !== value))
        return false;
    }
    return true;
  }

  private slotDone(): boolean {
    return (
      (this.slot < 0 || this.slotSaid !== undefined) &&
      (this.freeSlot < 0 || this.words[this.freeSlot] !== '')
    );
  }

  /** Says a step and then the rest; undoes its work and returns false when the rest cannot follow. */
  private walk(step: Step, rest: () => boolean): boolean {
    switch (step.is) {
      case 'word':
        this.words.push(step.word);
        if (rest()) return true;
        this.words.pop();
        return false;
      case 'sequence':
        return this.items(step.items, 0, rest);
      case 'choice': {
        if (step.byConstant !== undefined) {
          const value = this.next(step.byConstant.path);
          const option =
            value === undefined ? undefined : step.byConstant.options.get(this.leaves[value]!.value);
          return option !== undefined && this.walk(option, rest);
        }
        for (let i = 0; i < step.options.length; i++) {
          if (this.has(step.needs[i]!) && this.walk(step.options[i]!, rest)) return true;
        }
        return false;
      }
      case 'optional': {
        const before = this.progress;
        if (this.has(step.needs) && this.walk(step.item, () => this.progress > before && rest())) return true;
        return rest();
      }
      case 'repeat': {
        const before = this.left;
        const again = (): boolean => {
          if (this.left < before && this.left > 0) {
            const at = this.words.length;
            this.parted.add(at);
            if (this.walk(step, rest)) return true;
            this.parted.delete(at);
          }
          return rest();
        };
        return this.walk(step.item, again);
      }
      case 'part':
      case 'free':
        return this.open(step, rest);
      case 'tag':
        return this.tag(step.tag, rest);
    }
  }

  private items(items: readonly Step[], at: number, rest: () => boolean): boolean {
    if (at === items.length) return rest();
    return this.walk(items[at]!, () => this.items(items, at + 1, rest));
  }

  /** Leaves room for a number or free words until their tag comes. */
  private open(step: Step & { is: 'part' | 'free' }, rest: () => boolean): boolean {
    if (!this.slotDone()) return false;
    const { slot, slotPart, slotSaid, slotUnit, freeSlot } = this;
    if (step.is === 'free') this.freeSlot = this.words.length;
    else {
      this.slot = this.words.length;
      this.slotPart = step.part;
      this.slotSaid = undefined;
      this.slotUnit = undefined;
    }
    const place = step.is === 'free' ? this.names : this.numbers;
    const at = this.words.length;
    const behind = step.is === 'free' && this.named === at && at > 0;
    place.add(at);
    if (behind) this.parted.add(at);
    this.words.push('');
    if (rest()) return true;
    this.words.pop();
    place.delete(at);
    if (behind) this.parted.delete(at);
    this.slot = slot;
    this.slotPart = slotPart;
    this.slotSaid = slotSaid;
    this.slotUnit = slotUnit;
    this.freeSlot = freeSlot;
    return false;
  }

  /** Index of the first leaf of a path that is not said yet. */
  private next(path: string): number | undefined {
    return this.index.get(path)?.find((leaf) => !this.said[leaf]);
  }

  private take(leaves: readonly number[], rest: () => boolean): boolean {
    for (const leaf of leaves) this.said[leaf] = true;
    this.left -= leaves.length;
    this.progress += leaves.length;
    if (rest()) return true;
    for (const leaf of leaves) this.said[leaf] = false;
    this.left += leaves.length;
    this.progress -= leaves.length;
    return false;
  }

  private tag(tag: Tag, rest: () => boolean): boolean {
    switch (tag.op) {
      case 'digit':
        throw new Error(`number tag outside of a number part: ${JSON.stringify(tag)}`);
      case 'unit': {
        const { slotUnit } = this;
        this.slotUnit = tag.unit;
        this.progress++;
        if (rest()) return true;
        this.progress--;
        this.slotUnit = slotUnit;
        return false;
      }
      case 'const': {
        const leaf = this.next(tag.path);
        // A field may be set to the same constant by two rules that meet.
        if (leaf === undefined) {
          const said = this.index.get(tag.path)?.some((index) => this.leaves[index]!.value === tag.value);
          return said === true && !tag.path.endsWith('[]') && rest();
        }
        if (this.leaves[leaf]!.value !== tag.value) return false;
        const { named } = this;
        this.named = this.words.length;
        if (this.take([leaf], rest)) return true;
        this.named = named;
        return false;
      }
      case 'words': {
        const leaf = this.next(tag.path);
        if (leaf === undefined || this.freeSlot < 0) return false;
        const value = this.leaves[leaf]!.value;
        if (typeof value !== 'string' || value === '' || this.words[this.freeSlot] !== '') return false;
        return this.fill(this.freeSlot, value, () => this.take([leaf], rest));
      }
      case 'pair':
        return this.pair(tag.path, rest);
      case 'number':
        return this.number(tag, rest);
    }
  }

  private number(tag: Tag & { op: 'number' }, rest: () => boolean): boolean {
    const taken: number[] = [];
    let value: unknown;
    let unit: unknown;
    if (tag.append || !tag.quantity) {
      const leaf = this.next(tag.append ? `${tag.path}[]` : tag.path);
      if (leaf === undefined) return false;
      taken.push(leaf);
      value = this.leaves[leaf]!.value;
      if (tag.quantity) ({ value, unit } = value as { value: unknown; unit: unknown });
    } else {
      const leaf = this.next(joinPath(tag.path, 'value'));
      if (leaf === undefined) return false;
      taken.push(leaf);
      value = this.leaves[leaf]!.value;
      const unitLeaf = this.next(joinPath(tag.path, 'unit'));
      if (unitLeaf !== undefined) {
        taken.push(unitLeaf);
        unit = this.leaves[unitLeaf]!.value;
      }
    }
    if (typeof value !== 'number' || (tag.sign < 0 ? value >= 0 : value < 0)) return false;
    const said: Said = { value: Math.abs(value), unit: unit as string | undefined };
    return this.say(said, tag.quantity, () => this.take(taken, rest));
  }

  private pair(path: string, rest: () => boolean): boolean {
    const leaf = this.next(path);
    if (leaf === undefined || this.slotSaid === undefined) return false;
    const pair = this.leaves[leaf]!.value as readonly [number, number];
    const words = this.parts.say(this.slotPart, { ...this.slotSaid, pair });
    if (words === undefined) return false;
    return this.fill(this.slot, words, () => this.take([leaf], rest));
  }

  private say(said: Said, quantity: boolean, rest: () => boolean): boolean {
    if (this.slot < 0) return false;
    if (this.slotSaid !== undefined) {
      return this.slotSaid.value === said.value && (!quantity || this.slotSaid.unit === said.unit) && rest();
    }
    if (this.slotUnit !== undefined && this.slotUnit !== said.unit) return false;
    const words = this.parts.say(this.slotPart, this.slotUnit === undefined ? said : { value: said.value });
    if (words === undefined) return false;
    this.slotSaid = said;
    if (this.fill(this.slot, words, rest)) return true;
    this.slotSaid = undefined;
    return false;
  }

  private fill(slot: number, words: string, rest: () => boolean): boolean {
    const before = this.words[slot]!;
    this.words[slot] = words;
    if (rest()) return true;
    this.words[slot] = before;
    return false;
  }
}
