/**
 * Turns tags into notes. Each tag sequence of an automaton is compiled once to a short code over a number register
 * and the fields of the note, so that building a note splits no path and looks nothing up by name.
 */
import type { Note, Notes } from '../../shared/note/note.ts';
import { type FieldLimit, isWithin, limitAt, limitText } from '../description/fields.ts';
import { joinPath } from '../description/patterns.ts';
import type { Tag } from '../description/tags.ts';
import type { Automaton } from './automaton.ts';
import type { NoteEnd } from './lattice.ts';

const op = {
  add: 0,
  times: 1,
  shift: 2,
  append: 3,
  point: 4,
  decimal: 5,
  part: 6,
  over: 7,
  feet: 8,
  negate: 9,
  unit: 10,
  constant: 11,
  pushConstant: 12,
  number: 13,
  quantity: 14,
  pushNumber: 15,
  pushQuantity: 16,
  words: 17,
  pair: 18,
} as const;

type Fields = Record<string, unknown>;

/** A number that cannot be kept: the field that it was meant for ('' for any), what would have been, what was said. */
export interface Outside {
  readonly path: string;
  readonly allowed: string;
  readonly value: number;
}

/** So many digits a double holds exactly, before and behind the point, and nobody says more. */
const mostWhole = 1e9;
const mostDecimals = 6;

/** Ends the work on a path: the field and the place of the object or list that holds it. */
interface Place {
  readonly parent: number;
  readonly key: string;
  readonly list: boolean;
}

/**
 * The compiled tags of one automaton, with the register that they work on. Not reentrant: one note at a time.
 * Use: `begin()`, then `run` for the tags of each arc in order, with `word` or `free` for the words, then `run`
 * for the final tags and `end()`.
 */
export class Meaning {
  /** Five numbers per tag: operation, place, key, operand, limit. Sequence s: from[s] to from[s + 1]. */
  private readonly code: Int32Array;
  private readonly from: Int32Array;
  private readonly values: unknown[] = [];
  private readonly places: Place[] = [{ parent: -1, key: '', list: false }];
  private readonly keys: string[] = [];
  private readonly limits: { readonly path: string; readonly limit: FieldLimit }[] = [];

  /** Numbers said so far, one that begins with "point" counted twice. Of two readings the one with fewer is meant. */
  numbers = 0;
  /** Commas that stand inside a number of the note in hand. */
  crossed = 0;
  /** A number of the note in hand that its field cannot hold: then the note must not be kept. */
  outside: Outside | undefined;

  private root: Fields = {};
  private readonly objects: (Fields | unknown[])[] = [];
  private readonly stamps: number[] = [];
  private stamp = 0;

  // The number register.
  private total = 0;
  private current = 0;
  private scale = -1;
  private decimals = 0;
  private added = 0;
  private feet = -1;
  private sign = 1;
  private unit: unknown = undefined;
  /** True once a field took the number: the next number word begins anew. */
  private taken = true;
  /** True when a comma stands behind the number words so far. */
  private parted = false;

  constructor(tagSequences: readonly (readonly Tag[])[]) {
    const code: number[] = [];
    this.from = new Int32Array(tagSequences.length + 1);
    tagSequences.forEach((tags, index) => {
      for (const tag of tags) code.push(...this.encode(tag));
      this.from[index + 1] = code.length;
    });
    this.code = Int32Array.from(code);
    this.objects = this.places.map((place) => (place.list ? [] : {}));
    this.stamps = this.places.map(() => 0);
  }

  private encode(tag: Tag): [number, number, number, number, number] {
    switch (tag.op) {
      case 'digit':
        return [op[tag.action], 0, 0, tag.action === 'part' ? this.value(tag.value) : tag.value, -1];
      case 'unit':
        return [op.unit, 0, 0, this.value(tag.unit), -1];
      case 'const': {
        if (tag.path.endsWith('[]')) {
          return [op.pushConstant, this.place(tag.path.slice(0, -2), true), 0, this.value(tag.value), -1];
        }
        const [place, key] = this.field(tag.path);
        return [op.constant, place, key, this.value(tag.value), -1];
      }
      case 'number': {
        if (tag.append) {
          const place = this.place(tag.path, true);
          return [
            tag.quantity ? op.pushQuantity : op.pushNumber,
            place,
            0,
            tag.sign,
            this.limit(tag.path, true),
          ];
        }
        if (tag.quantity) {
          const limit = this.limit(joinPath(tag.path, 'value'), false);
          return [op.quantity, this.place(tag.path, false), 0, tag.sign, limit];
        }
        const [place, key] = this.field(tag.path);
        return [op.number, place, key, tag.sign, this.limit(tag.path, false)];
      }
      case 'words': {
        const [place, key] = this.field(tag.path);
        return [op.words, place, key, 0, -1];
      }
      case 'pair': {
        const [place, key] = this.field(tag.path);
        return [op.pair, place, key, 0, -1];
      }
    }
  }

  private limit(path: string, list: boolean): number {
    const limit = limitAt(path, list);
    return limit === undefined ? -1 : this.limits.push({ path, limit }) - 1;
  }

  private value(value: unknown): number {
    const index = this.values.indexOf(value);
    return index >= 0 ? index : this.values.push(value) - 1;
  }

  private field(path: string): [number, number] {
    const dot = path.lastIndexOf('.');
    const key = path.slice(dot + 1);
    const index = this.keys.indexOf(key);
    return [
      this.place(dot < 0 ? '' : path.slice(0, dot), false),
      index >= 0 ? index : this.keys.push(key) - 1,
    ];
  }

  private place(path: string, list: boolean): number {
    if (path === '') return 0;
    const dot = path.lastIndexOf('.');
    const parent = this.place(dot < 0 ? '' : path.slice(0, dot), false);
    const key = path.slice(dot + 1);
    const index = this.places.findIndex(
      (place) => place.parent === parent && place.key === key && place.list === list,
    );
    return index >= 0 ? index : this.places.push({ parent, key, list }) - 1;
  }

  begin(): void {
    this.stamp++;
    this.numbers = 0;
    this.outside = undefined;
    this.root = {};
    this.objects[0] = this.root;
    this.stamps[0] = this.stamp;
    this.taken = true;
    this.parted = false;
    this.crossed = 0;
    this.unit = undefined;
  }

  /** A comma stands before the next word. */
  part(): void {
    this.parted = !this.taken;
  }

  /** The fields that were set, of whatever it is. */
  fields(): Fields {
    return this.root;
  }

  /** The note: that its fields are those of its kind is seen to where the description is checked (`checks.ts`). */
  end(): Note {
    return this.root as Note;
  }

  /** Does the tags of one sequence. `words` are the free words said last. */
  run(sequence: number, words: string): void {
    const { code } = this;
    const end = this.from[sequence + 1]!;
    for (let at = this.from[sequence]!; at < end; at += 5) {
      const operand = code[at + 3]!;
      const kind = code[at]!;
      if (kind <= op.unit) {
        if (this.taken) {
          this.reset();
          this.numbers += kind === op.point ? 2 : 1;
        } else if (this.parted && kind < op.unit) {
          this.crossed++;
          this.parted = false;
        }
        this.number(kind, operand);
        continue;
      }
      const place = this.live(code[at + 1]!);
      const key = this.keys[code[at + 2]!]!;
      switch (kind) {
        case op.constant:
          (place as Fields)[key] = this.values[operand];
          break;
        case op.pushConstant:
          (place as unknown[]).push(this.values[operand]);
          break;
        case op.number:
          (place as Fields)[key] = this.amount(operand, code[at + 4]!);
          break;
        case op.quantity:
          (place as Fields).value = this.amount(operand, code[at + 4]!);
          if (this.unit !== undefined) (place as Fields).unit = this.unit;
          break;
        case op.pushNumber:
          (place as unknown[]).push(this.amount(operand, code[at + 4]!));
          break;
        case op.pushQuantity: {
          const value = this.amount(operand, code[at + 4]!);
          (place as unknown[]).push(this.unit === undefined ? { value } : { value, unit: this.unit });
          break;
        }
        case op.words:
          (place as Fields)[key] = words;
          break;
        case op.pair:
          (place as Fields)[key] = [this.total + this.current, this.decimals];
          this.taken = true;
          break;
      }
    }
  }

  /** The object or list at a place of the note in hand, made when it is first asked for. */
  private live(index: number): Fields | unknown[] {
    if (this.stamps[index] === this.stamp) return this.objects[index]!;
    const place = this.places[index]!;
    const parent = this.live(place.parent) as Fields;
    const made: Fields | unknown[] = place.list ? [] : {};
    parent[place.key] = made;
    this.objects[index] = made;
    this.stamps[index] = this.stamp;
    return made;
  }

  private reset(): void {
    this.total = 0;
    this.current = 0;
    this.scale = -1;
    this.decimals = 0;
    this.added = 0;
    this.feet = -1;
    this.sign = 1;
    this.unit = undefined;
    this.taken = false;
    this.parted = false;
  }

  private number(kind: number, n: number): void {
    switch (kind) {
      case op.add:
        this.current += n;
        return;
      case op.times:
        if (n === 1000) {
          this.total += this.current * 1000;
          this.current = 0;
        } else this.current *= n;
        return;
      case op.shift:
        this.current = this.current * 100 + n;
        return;
      case op.append:
        this.current = this.current * 10 + n;
        return;
      case op.point:
        this.scale = 0;
        return;
      case op.decimal:
        this.decimals = this.decimals * 10 + n;
        this.scale++;
        return;
      case op.part:
        this.added += this.values[n] as number;
        return;
      case op.over:
        this.current /= n;
        return;
      case op.feet: {
        const feet = this.plain();
        const { unit, sign } = this;
        this.reset();
        this.sign = sign;
        this.feet = feet;
        this.unit = unit;
        return;
      }
      case op.negate:
        this.sign = -1;
        return;
      case op.unit:
        this.unit = this.values[n];
        return;
    }
  }

  /** Mantissa and power of ten are whole numbers, so the quotient is the double nearest to what was said. */
  private plain(): number {
    const whole = this.total + this.current;
    if (this.scale <= 0) return whole + this.added;
    const power = 10 ** this.scale;
    return (whole * power + this.decimals) / power + this.added;
  }

  private amount(sign: number, limit: number): number {
    this.taken = true;
    const plain = this.plain();
    const value = this.feet >= 0 ? this.feet + plain / 12 : plain;
    const signed = value === 0 ? 0 : sign * this.sign * value;
    if (limit >= 0 && !isWithin(this.limits[limit]!.limit, signed)) {
      const { path, limit: allowed } = this.limits[limit]!;
      this.outside = { path, allowed: limitText(allowed, signed), value: signed };
    } else if (this.scale > mostDecimals || value > mostWhole) {
      const allowed = `a number of at most ${mostDecimals} decimals, below a thousand million`;
      this.outside = { path: '', allowed, value: signed };
    }
    return signed;
  }
}

/**
 * What a path through the automaton means: arcs in order, the final tags, the words said. When `meaning.outside` is
 * set afterwards, a number is out of its field's range and the note must not be kept.
 */
function meaningOf(
  automaton: Automaton,
  meaning: Meaning,
  arcs: ArrayLike<number>,
  final: number,
  words: readonly string[],
): Note {
  meaning.begin();
  let freeFrom = -1;
  let free = '';
  for (let i = 0; i < arcs.length; i++) {
    const arc = arcs[i]!;
    if (freeFrom >= 0 && automaton.arcWord[arc] !== 0) {
      free = words.slice(freeFrom, i).join(' ');
      freeFrom = -1;
    }
    meaning.run(automaton.arcTags[arc]!, free);
    if (freeFrom < 0 && automaton.arcWord[arc] === 0) freeFrom = i;
  }
  if (freeFrom >= 0) free = words.slice(freeFrom, arcs.length).join(' ');
  meaning.run(final, free);
  return meaning.end();
}

/**
 * What a path of several notes means. Null when a number of one is out of its field's range: it must not be kept.
 */
export function notesOf(
  automaton: Automaton,
  meaning: Meaning,
  arcs: readonly number[],
  ends: readonly Pick<NoteEnd, 'words' | 'final'>[],
  words: readonly string[],
): Notes | null {
  const notes: Note[] = [];
  let from = 0;
  for (const end of ends) {
    const [own, said] = [arcs.slice(from, end.words), words.slice(from, end.words)];
    notes.push(meaningOf(automaton, meaning, own, end.final, said));
    if (meaning.outside !== undefined) return null;
    from = end.words;
  }
  const [first, ...others] = notes;
  return first === undefined ? null : [first, ...others];
}
