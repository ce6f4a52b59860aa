/** Stands, people, settings, remarks and the few orders to the tool, put together from their words and numbers. */
import type { Note } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { handOf, targetOf } from './compose-targets.ts';
import { type Draft, explain, eyeLength, plainLength, type Scan } from './scan.ts';

type SettingSaid = Extract<Note, { kind: 'setting' }>['set'];
/** A setting, the numbers that tell it, and the words that go with it. */
interface SettingFound {
  readonly set: SettingSaid;
  readonly places: readonly number[];
  readonly concepts: readonly Concept[];
}

/** A pace, an eye height, a walk, units; of the person who is named before it. */
export function settingDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || scan.has('ask', 'scratch')) return undefined;
  const found = eyeSet(scan) ?? walkSet(scan) ?? paceSet(scan) ?? unitsSet(scan);
  if (found === undefined) return undefined;
  const set: Note = { kind: 'setting', set: found.set };
  // "Wren's pace is": whose it is.
  const owner = scan.pieces.findIndex(
    ({ capital, unknown }, at) => capital && unknown && /^(?:'s|is)$/.test(scan.pieces[at + 1]?.text ?? ''),
  );
  const concepts: Concept[] = [...found.concepts, 'guess', 'fix', 'to'];
  if (owner < 0) return { notes: [set], used: explain(scan, found.places, concepts), against: 0 };
  const person: Note = { kind: 'setting', set: { what: 'person', name: scan.pieces[owner]!.text } };
  return { notes: [person, set], used: explain(scan, [...found.places, owner], concepts), against: 0 };
}

function eyeSet(scan: Scan): SettingFound | undefined {
  const [at] = scan.of('eye');
  if (at === undefined || scan.numbers.length > 1) return undefined;
  return {
    set: { what: 'eye', length: eyeLength(scan.number(at)) },
    places: [at],
    concepts: ['eye', 'tall', 'off', 'base', 'top', 'here', 'one', 'laid', 'slope'],
  };
}

/** So many paces over a known length. */
function walkSet(scan: Scan): SettingFound | undefined {
  const [walked] = scan.numbers.filter((at) => /^(?:paces|steps)$/.test(String(scan.number(at).unit)));
  // Of one pace the length may be said in centimetres.
  const ofOne = walked !== undefined && scan.number(walked).value === 1;
  const [length] = scan
    .of('distance', 'pace', ...(ofOne ? (['diameter'] as const) : []))
    .filter((at) => at !== walked);
  if (walked === undefined || length === undefined || scan.numbers.length !== 2) return undefined;
  if (scan.has('stick', 'meets', 'covers', 'laid')) return undefined;
  const { value: count, unit } = scan.number(walked);
  const known = plainLength(scan.number(length));
  if (known.unit === undefined || !/\b(?:in|is|to|for|per|makes?|over|at|took|takes)\b/.test(scan.text()))
    return undefined;
  return {
    set: { what: 'walk', count, of: unit === 'steps' ? 'steps' : 'paces', length: known },
    places: [walked, length],
    concepts: ['pace', 'walk', 'to', 'off', 'tape'],
  };
}

const inFeet = { m: 3.28, cm: 0.0328, in: 1 / 12, ft: 1, yd: 3, chain: 66 } as const;

function paceSet(scan: Scan): SettingFound | undefined {
  const [at] = scan.of('pace');
  if (at === undefined || scan.numbers.length > 1) return undefined;
  const said = plainLength(scan.number(at));
  // A step of seventy five can be nothing but centimetres.
  const bare = said.unit === undefined && said.value >= 45 && said.value <= 200;
  const length = bare ? { ...said, unit: 'cm' as const } : said;
  const word = scan.pieces[scan.at('pace')]!.text;
  const steps = /step|stride/.test(word) || length.value * inFeet[length.unit ?? 'ft'] < 3.6;
  return {
    set: { what: 'pace', length, ...(steps ? { of: 'steps' as const } : {}) },
    places: [at],
    concepts: ['pace', 'walk', 'to', 'one', 'slope', 'off'],
  };
}

function unitsSet(scan: Scan): SettingFound | undefined {
  if (scan.numbers.length > 0 || scan.has('person') || scan.has('metric') === scan.has('imperial'))
    return undefined;
  return {
    set: { what: 'units', units: scan.has('metric') ? 'metres' : 'feet' },
    places: [],
    concepts: ['metric', 'imperial', 'allOf', 'to', 'reopen', 'here', 'off'],
  };
}

const nobody = /^(?:i|we|it|that|this|he|she|they|there|here|somebody|nobody|everybody)$/;

/** Who measures: a name that was written with a capital beside a word for it. */
export function personDraft(scan: Scan): Draft | undefined {
  if (
    scan.asked ||
    scan.numbers.length > 0 ||
    scan.species.length > 0 ||
    scan.has('scratch', 'ask', 'remark')
  )
    return undefined;
  const names = scan.placesOf(
    ({ is, capital, concepts, text, light }) =>
      is === 'words' && capital && concepts.size === 0 && !nobody.test(text) && !light,
  );
  const [at, ...others] = names;
  if (at === undefined) return undefined;
  const behind = scan.pieces[at + 1]?.text;
  const before = scan.pieces
    .slice(0, at)
    .map(({ text }) => text)
    .join(' ');
  const introduced =
    scan.has('person') ||
    /(?:^| )(?:this is|it is|it 's|i am|now|name is|here is|you got|you have)$/.test(before);
  const present = at === 0 && /^(?:here|on|back|again|now|speaking)$/.test(behind ?? '');
  if (!introduced && !present) return undefined;
  const [second] = others;
  const both = second === at + 1;
  if (others.length > (both ? 1 : 0) && !scan.has('person')) return undefined;
  if (others.length > 1 || (second !== undefined && !both)) return undefined;
  const name = scan.pieces
    .slice(at, at + (both ? 2 : 1))
    .map(({ text }) => text)
    .join(' ');
  return {
    notes: [{ kind: 'setting', set: { what: 'person', name } }],
    used: explain(scan, both ? [at, second] : [at], ['person', 'off', 'here', 'again', 'next', 'no']),
    against: 0.2,
  };
}

/** A stand or a stratum by its name, which was written with a capital or stands behind a word for it. */
export function standDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask', 'scratch', 'remark', 'close', 'person', 'goes', 'has')) return undefined;
  if (scan.numbers.some((at) => scan.label(at) !== 'area' && scan.label(at) !== 'bare')) return undefined;
  const word = scan.placesOf(
    ({ concepts, is }) => is === 'words' && (concepts.has('stand') || concepts.has('stratum')),
  )[0];
  if (word === undefined) return undefined;
  const stratum = scan.pieces[word]!.concepts.has('stratum');
  const capitals = scan
    .placesOf(({ is, capital, text }) => is !== 'break' && capital && !nobody.test(text))
    .filter((at) => at !== word && at > 0);
  let name: readonly number[] = runOf(capitals);
  if (name.length === 0) {
    // "Block nineteen", "stratum upper bench": what follows, to the end of the clause.
    const from = scan.beside(word, 1, ({ text }) => /^(?:is|'s|called|named|the|name)$/.test(text));
    if (from < 0) return undefined;
    const to = scan.pieces.findIndex(({ is }, at) => at > from && is === 'break');
    name = Array.from({ length: (to < 0 ? scan.pieces.length : to) - from }, (_, i) => from + i);
    if (name.length > 3) return undefined;
  }
  const text = name.map((at) => scan.pieces[at]!.text).join(' ');
  if (text.replace(/[^a-z0-9]/g, '').length < 2 || scan.species.some((at) => !name.includes(at)))
    return undefined;
  return {
    notes: [{ kind: stratum ? 'stratum' : 'stand', name: text }],
    used: explain(scan, name, ['stand', 'stratum', 'next', 'open', 'here', 'today', 'off']),
    against: 0.3,
    ...(capitals.length > 0 || scan.pieces[name[0]! - 1]?.text === 'called' ? {} : { unsure: true }),
  };
}

/** The first places that follow one another. */
function runOf(places: readonly number[]): number[] {
  const run: number[] = [];
  for (const at of places) if (run.length === 0 || at === run.at(-1)! + 1) run.push(at);
  return run;
}

/** What is to be written down: behind a word of noting, or told of a tree that is named and known by no other word. */
export function remarkDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask', 'scratch')) return undefined;
  const noted = scan.at('remark');
  const all = new Set(scan.pieces.map((_, at) => at));
  const target = targetOf(scan);
  if (noted >= 0) {
    const last = noted === scan.pieces.length - 1;
    if (last && noted > 0 && scan.pieces[noted - 1]!.is !== 'break') return undefined;
    const behind = scan
      .text(noted + 1)
      .replace(/^(?:that|there is|, |on|about|for|here) /, '')
      .replace(/^, /, '');
    const before = scan.text(0, noted).replace(/[ ,]+$/, '');
    const told = behind.split(' ').filter((word) => word !== ',').length >= 2 ? behind : before;
    const named =
      target === undefined
        ? undefined
        : /^(?:(?:on|about|for|to) )?(?:the|that) .+?(?:,| as an?| that| has| is|'s(?: got)?) /.exec(told);
    const text =
      named === null || named === undefined || told.length - named[0].length < 4
        ? told
        : told.slice(named[0].length);
    if (
      told.split(' ').length < 2 ||
      (noted > 0 &&
        told === behind &&
        target === undefined &&
        !scan.pieces.slice(0, noted).every(({ light, is }) => light || is === 'break'))
    )
      return undefined;
    const remark: Note = { kind: 'remark', text };
    return { notes: target === undefined ? [remark] : [handOf(target), remark], used: all, against: 0.5 };
  }
  const has = scan.at('has');
  if (
    target === undefined ||
    target.tree !== undefined ||
    has < 0 ||
    has > Math.max(...target.used) + 3 ||
    has < Math.min(...target.used)
  )
    return undefined;
  const text = scan.text(has + 1);
  if (scan.numbers.some((at) => at > has) || !scan.pieces.some(({ unknown }, at) => unknown && at > has))
    return undefined;
  return { notes: [handOf(target), { kind: 'remark', text }], used: all, against: 0.6 };
}

const orders: readonly (readonly [Concept, Note])[] = [
  ['quiet', { kind: 'control', op: 'quiet' }],
  ['speak', { kind: 'control', op: 'speak' }],
  ['stop', { kind: 'control', op: 'stop' }],
  ['slower', { kind: 'control', op: 'slower' }],
];

const polite =
  /^(?:please|now|ok|okay|just|then|be|a|minute|for|today|so|well|thanks|you|thank|may|can|the|day|and|all|right|again|until|i|call|say|that)$/;

/** Orders to the tool: only where nothing else is said. */
export function controlDraft(scan: Scan): Draft | undefined {
  if (scan.numbers.length > 0 || scan.species.length > 0 || scan.asked) return undefined;
  for (const [concept, note] of orders)
    if (
      scan.has(concept) &&
      scan.pieces.every(
        ({ is, concepts, text }) => is !== 'words' || concepts.has(concept) || polite.test(text),
      )
    )
      return { notes: [note], used: explain(scan, [], [concept, 'today', 'here', 'again']), against: 0.3 };
  return undefined;
}
