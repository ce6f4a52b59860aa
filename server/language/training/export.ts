/**
 * Notes with their plain forms as the learned reader is trained on: symbols in, steps out, one JSON line a pair. A pair is
 * left out, and named, where its plain form is not read for sure or cannot be written from what was said.
 * Usage: node --import tsx server/language/training/export.ts OUT.jsonl NOTES.tsv[:N] ...
 * With N, every Nth sitting of the file is held back: it is marked so, and nothing is learnt from it.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { compile } from '../../../grammar/automaton/compile.ts';
import { grammar } from '../../../grammar/description/grammar.ts';
import { parseDescription } from '../../../grammar/description/syntax.ts';
import { withTypedSpecies } from '../../../grammar/description/typed-species.ts';
import { Composer } from '../../../grammar/reading/composer.ts';
import { createReader } from '../../../grammar/reading/exact.ts';
import { withoutHesitation } from '../../../grammar/reading/hesitation.ts';
import { shownBefore } from '../../../grammar/reading/learned/before.ts';
import {
  plainText,
  stepsOf,
  type WritingStep,
  type WrittenSymbol,
} from '../../../grammar/reading/learned/plain-form.ts';
import { type InputSymbol, symbolsOf } from '../../../grammar/reading/learned/symbols.ts';
import type { SaidPiece } from '../../../grammar/reading/pieces.ts';
import { createUnderstanding } from '../../../grammar/reading/understand.ts';
import { createTongue } from '../../../grammar/writing/tongue.ts';
import { err } from '../../../shared/core/result.ts';
import { takeFrom } from '../../../shared/dialogue/choosing.ts';
import { mostBefore } from '../../../shared/dialogue/told-before.ts';
import type { Notes } from '../../../shared/note/note.ts';
import { notesKey } from '../../../shared/note/note-key.ts';

const automaton = compile(grammar);
const trees = parseDescription(grammar);
const composer = new Composer(trees, createReader(automaton));
const tongue = createTongue(grammar, () => trees);
const understand = withTypedSpecies(createUnderstanding(automaton, grammar));

/** What the readers see of a text: rare species as others. */
function asSeen(text: string): string {
  let seen = withoutHesitation(text);
  withTypedSpecies((one) => {
    seen = one;
    return err('');
  })(seen);
  return seen;
}

const symbols = (text: string): InputSymbol[] | undefined => {
  const said = composer.asSaid(asSeen(text));
  return said === undefined ? undefined : symbolsOf(said.scan.pieces);
};

/** What a text is kept as; undefined where it is not. */
function keptAs(text: string): Notes | undefined {
  const read = understand(text);
  const first = read.ok ? read.value[0] : undefined;
  return first === undefined || first.posterior < takeFrom || first.unread !== undefined
    ? undefined
    : first.notes;
}

/** Notes apart from the letters of what is free. */
const gistOf = (notes: Notes): string =>
  notesKey(notes.map((note) => (note.kind === 'remark' ? { ...note, text: '' } : note)));

/** How a plain form is written: in the notebook's own words where they can be, so that one thing is said in one way. */
function written(plain: string, notes: Notes, said: readonly InputSymbol[]): readonly WritingStep[] | string {
  const own = notes.map((note) => tongue.speak(note)).join(', ');
  const key = gistOf(notes);
  let failed = 'not to be written from what was said';
  for (const form of [own, plain]) {
    const seen = symbols(form);
    const steps = seen === undefined ? undefined : stepsOf(seen, said);
    if (steps === undefined) continue;
    const again = plainText(steps.map(firstOf), said);
    const read = keptAs(again);
    // Rare species stand in their places there.
    if (asSeen(plain) !== plain || (read !== undefined && gistOf(read) === key)) return steps;
    failed = `read otherwise: ${again}`;
  }
  return failed;
}

const firstOf = ({ word, copies }: WritingStep): WrittenSymbol =>
  copies.length > 0 ? { copy: copies[0]! } : { word: word ?? '' };

interface Pair {
  readonly said: readonly {
    readonly text: string;
    readonly features: readonly string[];
    readonly shown: readonly string[];
  }[];
  readonly steps: readonly WritingStep[];
  readonly text: string;
  readonly plain: string;
  readonly held: boolean;
  /** What was told before it, as the network is shown it. */
  readonly before: readonly (readonly string[])[];
}

type Made = { readonly pair: Pair } | { readonly reason: string };

function pairOf(text: string, target: string, held: boolean, before: Pair['before']): Made {
  const said = symbols(text);
  if (said === undefined || said.length === 0) return { reason: 'not typed' };
  if (said.length > 70) return { reason: 'too long' };
  const plain =
    target === '=' ? text : target.replace(/\b(\d+) foot (\d+(?:\.\d+)?)(?: inch(?:es)?)?\b/g, `$1'$2"`);
  let steps: readonly WritingStep[];
  if (target.startsWith('@')) steps = target.split(' ').map((word) => ({ word, copies: [] }));
  else {
    const notes = keptAs(plain);
    if (notes === undefined) return { reason: 'not read for sure' };
    const made = written(plain, notes, said);
    if (typeof made === 'string') return { reason: made };
    steps = made;
  }
  return {
    pair: {
      said: said.map(({ text: word, features, shown }) => ({ text: word, features, shown })),
      steps,
      text,
      plain,
      held,
      before,
    },
  };
}

const piecesOf = (text: string): readonly SaidPiece[] => composer.asSaid(asSeen(text))?.scan.pieces ?? [];

/** What the book has of it, in the notebook's own words; nothing of what is for nobody, or asks how to say a thing. */
function toldBy({ plain, text }: Pair): string[] {
  if (plain === '@remark') return [`remark ${text}`];
  const notes = plain.startsWith('@') ? undefined : keptAs(plain);
  return notes === undefined ? [] : [notes.map((note) => tongue.speak(note)).join(', ')];
}

const inMetres = /\b(?:metric|metres?|centimetres?|millimetres?|hectares?|cm|m)\b/;
const inFeet = /\b(?:units feet|use feet|imperial)\b/;

/** As the book knows it: from the first length in metres on, until feet are asked for. */
const isMetricBehind = (plain: string, metric: boolean): boolean =>
  inFeet.test(plain) ? false : metric || inMetres.test(plain);

const [out, ...files] = process.argv.slice(2);
const lines: string[] = [];
for (const given of files) {
  const [file = given, every] = given.split(':');
  let left = 0;
  let made = 0;
  let sitting = 0;
  let told: string[] = [];
  let metric = false;
  for (const line of readFileSync(file, 'utf8').split('\n')) {
    const [text, target] = line.split('\t');
    if (line.startsWith('#')) {
      sitting++;
      told = [];
      metric = false;
    }
    if (line.startsWith('#') || text === undefined || target === undefined || target === '') continue;
    const one = pairOf(
      text,
      target,
      every !== undefined && sitting % Number(every) === Number(every) - 1,
      sitting === 0 ? [] : shownBefore({ told, metric }, piecesOf),
    );
    if ('pair' in one) {
      lines.push(JSON.stringify(one.pair));
      made++;
      metric = isMetricBehind(one.pair.plain, metric);
      told = [...toldBy(one.pair), ...told].slice(0, mostBefore);
    } else {
      left++;
      if (process.env.STEMSAY_SHOW !== undefined) console.log(`${one.reason}\n   ${text}\n   ${target}`);
    }
  }
  console.log(`${file}: ${made} pairs, ${left} left out`);
}
writeFileSync(out ?? 'pairs.jsonl', `${lines.join('\n')}\n`);
