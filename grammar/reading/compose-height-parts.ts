/**
 * A part of the last height said right by its name: "top 41 degrees", "base 0", "arm 27", "the pole's shadow was 7", "the
 * tree's was 83", "percent, not degrees". Which height it is of the book knows.
 */
import type { NoteOf } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { sideOf } from './compose-sights.ts';
import { type Draft, everyPlace, explain, plainLength, type Scan } from './scan.ts';

type Part = NonNullable<NoteOf<'change'>['measured']>['of'];

/** Words around what is put right. */
const around: readonly Concept[] = ['fix', 'no', 'that', 'again', 'has', 'here', 'one', 'last'];
const otherwise: readonly Concept[] = [
  'ask',
  'plot',
  'scratch',
  'restore',
  'remark',
  'person',
  'not',
  'retake',
  'walk',
  'slope',
  'lean',
  'device',
  'scale',
  'covers',
  'meets',
  'laid',
];

/** A part of the height that was told last. */
export function heightPartDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0) return undefined;
  const [at, ...more] = scan.numbers;
  if (at === undefined) return scaleDraft(scan);
  if (more.length > 0 || scan.pieces.some(({ is }) => is === 'break') || scan.has(...otherwise))
    return undefined;
  return angleDraft(scan, at) ?? partDraft(scan, at);
}

const scaleWords = /\b(percents?|pct|degrees?|degs?)\b/g;
const leads =
  /^(?:(?:oh|ah|oops|sorry|no|wait|so|ok|well|that|it|those|these|they|both|all|the angles?|readings?|numbers?|is|was|were|are|'s|should|be|have been|meant|i|in|to|a|make|change|read|said|not|percents?|pct|degrees?|degs?|actually|really|please|but|and|of course|instead|rather|than)(?: |,|$) ?)+$/;

/** "Percent, not degrees", "that was in percent": the scale in which the angles were read. */
function scaleDraft(scan: Scan): Draft | undefined {
  const text = scan.text().replaceAll(' ,', ',');
  const said = [...text.matchAll(scaleWords)].map(([word]) => (word.startsWith('p') ? 'pct' : 'deg'));
  if (said.length === 0 || !leads.test(text)) return undefined;
  const not = /\b(?:not|rather than|instead of)(?: in)?(?: an?)? (percent|pct|degree|deg)/.exec(text)?.[1];
  const denied = not === undefined ? undefined : not.startsWith('p') ? 'pct' : 'deg';
  const told =
    denied !== undefined || /\b(?:is|was|were|are|'s|meant|should|make|change|sorry|oops|wait)\b/.test(text);
  const meant = new Set(said.filter((one) => one !== denied));
  const [scale] = meant;
  if (!told || scale === undefined || meant.size > 1 || (denied === undefined && / not /.test(` ${text} `)))
    return undefined;
  const past = denied !== undefined || /\b(?:was|were|those|these|meant|should|sorry|oops|wait)\b/.test(text);
  return {
    notes: [{ kind: 'change', scale }],
    used: everyPlace(scan),
    against: 0,
    ...(past ? {} : { unsure: true }),
  };
}

const tops = /^(?:top|the top|tip|crown|to the top|to the tip|leader)$/;
const bases =
  /^(?:base|bottom|bot|butt|foot|stump|to the base|to the bottom|to the foot|to the butt|at the stump|to the stump)$/;

/** "Top 41 degrees", "base minus 5": an angle alone. */
function angleDraft(scan: Scan, at: number): Draft | undefined {
  const { unit, value, sign } = scan.number(at);
  if (unit !== undefined && unit !== 'deg' && unit !== 'pct') return undefined;
  const isTop = scan.pieces.some(({ text }) => tops.test(text));
  const isBase = scan.pieces.some(({ text }) => bases.test(text));
  if (isTop === isBase || scan.has('eye', 'arm', 'stick', 'pole', 'shadow', 'girth', 'dbh', 'rot', 'log'))
    return undefined;
  const scale = unit === undefined ? {} : { unit };
  const used = explain(scan, [at], [...around, isTop ? 'top' : 'base', 'angle', 'off']);
  if (isTop)
    return {
      notes: [{ kind: 'change', top: { value: (sign ?? 1) * value, ...scale } }],
      used,
      against: 0.3,
    };
  const side = value === 0 ? 1 : sideOf(scan, at);
  const based = (sided: number): NoteOf<'change'> => ({
    kind: 'change',
    base: { by: 'angle', angle: { value: sided * value, ...scale } },
  });
  if (side !== undefined) return { notes: [based(side)], used, against: 0.3 };
  return { notes: [based(-1)], other: [based(1)], used, against: 0.3 };
}

/** Which part the words name, the first that fits: which words must stand there, and which may. */
const parts: readonly (readonly [words: RegExp, part: Part])[] = [
  [/\bpole(?: 's|'s|s)? shadow\b|\bshadow (?:of|from) (?:the |my )?(?:pole|staff|post|rod)\b/, 'poleShadow'],
  [/\b(?:pole|staff|rod|post) (?:reads?|read|reading)\b/, 'poleReads'],
  [/\btree (?:reads?|read|reading)\b/, 'treeReads'],
  [/\b(?:pole|staff|rod|post)'s\b/, 'ofPole'],
  [/\btree's shadow\b|\bshadow (?:of|from) the tree\b/, 'shadow'],
  [/\btree's\b/, 'ofTree'],
  [/\bshadow\b/, 'shadow'],
  [/\b(?:pole|staff|range pole)\b/, 'pole'],
  [/\barm\b/, 'arm'],
  [/\bstick\b/, 'stick'],
];
/** "The shadow is 70" tells of a measurement that begins. */
const told = /\b(?:was|were|should|reads?|read)\b/;

/** "Arm 27", "the pole's shadow was 7 feet". */
function partDraft(scan: Scan, at: number): Draft | undefined {
  const said = scan.number(at);
  const { unit, sign } = said;
  if (sign !== undefined || !/^(?:undefined|ft|m|cm|in|yd)$/.test(String(unit))) return undefined;
  const text = scan.text();
  const part = parts.find(([words]) => words.test(text))?.[1];
  // Somebody's own shadow is that of a pole as tall as they are.
  if (
    part === undefined ||
    scan.has('eye', 'top', 'base', 'log', 'girth', 'dbh') ||
    /\b(?:my|your|his|her)\b/.test(text)
  )
    return undefined;
  // "Stick 25", "shadow 40", "pole 6" begin a measurement.
  const own = told.test(text.replace(/\b(?:pole|tree)'s shadow\b/, 'shadow')) || scan.has('fix');
  if (part !== 'arm' && part !== 'poleShadow' && !own) return undefined;
  const { value, unit: plain } = plainLength(said);
  if (plain === 'chain') return undefined;
  return {
    notes: [
      { kind: 'change', measured: { of: part, value, ...(plain === undefined ? {} : { unit: plain }) } },
    ],
    used: explain(
      scan,
      [at, ...scan.placesOf(({ text: word }) => word === "'s" || word === 'tree')],
      [...around, 'arm', 'stick', 'pole', 'shadow', 'tree', 'angle'],
    ),
    against: 0.3,
  };
}
