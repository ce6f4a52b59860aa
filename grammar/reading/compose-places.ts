/** Stands, strata, remarks and the few orders to the tool, put together from their words and numbers. */
import type { Note } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import type { SaidPiece } from './pieces.ts';
import type { Quantity } from './said-numbers.ts';
import { nobody } from './said-shape.ts';
import { clausesOf, type Draft, everyPlace, explain, type Scan } from './scan.ts';

/** A place that is named in a clause: its name, the pieces of it, and whether it is a part of a stand. */
interface Place {
  readonly name: string;
  readonly places: readonly number[];
  readonly part: boolean;
  readonly sure: boolean;
}

const isPlaceWord = ({ concepts, is }: SaidPiece): boolean =>
  is === 'words' && (concepts.has('stand') || concepts.has('stratum'));
/** Words for a part of a stand, where the stand has a name of its own. */
const partWord = /^(?:block|compartment|unit|section|zone|parcel|patch|stratum|strata|strat)$/;
const naming = /\b(?:call(?:ed)?|name(?:d)?)\b/;

/** A place without a word for one, or with people behind it: "at the Dorsey tract with Lena". */
const placedWith = (scan: Scan): Draft | undefined =>
  scan.pieces.some(({ text }) => text === 'with' || text === "'s") || !scan.pieces.some(isPlaceWord)
    ? placeDraft(scan)
    : undefined;

/** A stand, a stratum or both by their names, which were written with a capital or stand behind a word for them. */
export function standDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask', 'scratch', 'remark', 'person', 'goes', 'pace', 'eye')) return undefined;
  const placed = placedWith(scan);
  if (placed !== undefined || !scan.pieces.some(isPlaceWord)) return placed;
  // "Harrow End": a capital makes a name of it.
  const closes = scan.pieces.some(({ concepts, capital }) => concepts.has('close') && !capital);
  if (closes || scan.has('has')) return undefined;
  const [area, ...areas] = scan.of('area');
  if (areas.length > 0 || scan.numbers.some((at) => at !== area && scan.label(at) !== 'bare'))
    return undefined;
  const clauses = clausesOf(scan.pieces, ({ is, text }) => is === 'break' && text !== ':');
  const named = clauses.flatMap(([from, to]) => placeIn(scan, from, to) ?? []);
  const found = named.length > 0 ? named : apart(scan, clauses);
  const [first, second, ...more] = found;
  if (first === undefined || more.length > 0 || (second !== undefined && first.part === second.part))
    return undefined;
  const own = found.flatMap(({ places }) => places);
  if ([...scan.species, ...scan.numbers].some((at) => at !== area && !own.includes(at))) return undefined;
  const stand = found.find(({ part }) => !part) ?? (second === undefined ? first : undefined);
  const stratum = found.find((one) => one !== stand);
  const said = area === undefined ? undefined : areaOf(scan.number(area));
  const kind = stand === first && second === undefined && scan.has('stratum') ? 'stratum' : 'stand';
  if (stand === undefined) return undefined;
  const note: Note = { kind, name: stand.name, ...(said === undefined ? {} : { area: said }) };
  return {
    notes: stratum === undefined ? [note] : [note, { kind: 'stratum', name: stratum.name }],
    used: explain(scan, area === undefined ? own : [...own, area], [
      'stand',
      'stratum',
      'next',
      'open',
      'here',
      'today',
      'off',
      'guess',
      'in',
      'plot',
    ]),
    against: 0.3,
    ...(found.every(({ sure }) => sure) ? {} : { unsure: true }),
  };
}

const areaOf = ({ value, unit }: Quantity): { value: number; unit?: 'acre' | 'ha' | 'm2' } =>
  unit === 'acre' || unit === 'ha' || unit === 'm2' ? { value, unit } : { value };

/** "New job, call it Cedar Bottom": the name stands in a clause of its own. */
function apart(scan: Scan, clauses: readonly (readonly [from: number, to: number])[]): Place[] {
  return clauses.flatMap(([from, to]) => {
    const names = range(from, to).filter((at) => scan.pieces[at]!.capital && at > 0);
    const rest = range(from, to).filter((at) => !names.includes(at));
    const plain = rest.every((at) => scan.pieces[at]!.light || naming.test(scan.pieces[at]!.text));
    if (names.length === 0 || names.length > 3 || !plain || runOf(names).length < names.length) return [];
    const name = names.map((at) => scan.pieces[at]!.name ?? scan.pieces[at]!.text).join(' ');
    return [{ name, places: [...names, ...rest], part: false, sure: true }];
  });
}

/** The place that a clause names. */
function placeIn(scan: Scan, from: number, to: number): Place | undefined {
  const { pieces } = scan;
  const word = pieces.findIndex((piece, at) => at >= from && at < to && isPlaceWord(piece));
  if (word < 0) return undefined;
  const text = pieces[word]!.text;
  const capitals = pieces.flatMap(({ is, capital, text: one }, at) =>
    at > 0 &&
    at >= from &&
    at < to &&
    at !== word &&
    is !== 'break' &&
    (capital || (one === "'s" && pieces[at - 1]!.capital && pieces[at + 1]?.capital === true)) &&
    !nobody.test(one)
      ? [at]
      : [],
  );
  const own = withWord(scan, word);
  let places: readonly number[] = own ?? withLot(scan, runTo(capitals, word) ?? runOf(capitals), to);
  let sure = places.length > 0;
  if (places.length === 0) {
    // "Block nineteen", "stratum upper bench": what follows, to the end of the clause; "call this the mill lot".
    const behind = scan.beside(word, 1, ({ text: one }) => /^(?:is|'s|called|named|the|name)$/.test(one));
    const before = pieces.findIndex(({ text: one }, at) => at > from && at < word && one === 'the');
    if (behind >= 0 && behind < to) places = range(behind, to);
    else if (before >= 0 && naming.test(scan.text(from, before))) places = range(before + 1, word + 1);
    else return undefined;
    if (places.length > 3) return undefined;
    sure =
      naming.test(scan.text(from, to)) ||
      (places.length === 1 &&
        pieces[places[0]!]!.is === 'number' &&
        onlyLight(scan, from, to, [word, ...places]));
  }
  const named = places
    .map((at) => pieces[at]!.name ?? pieces[at]!.text)
    .join(' ')
    .replaceAll(" '", "'");
  const letters = named.replace(/[^\p{L}\d]/gu, '');
  const letter = letters.length === 1 && (pieces[places[0]!]!.capital || /\d/.test(letters));
  if (letters.length < 2 && !letter) return undefined;
  const part = partWord.test(text) && own === undefined;
  // A letter or a number is the name of a part only with the word before it.
  const short = part && !/^strat/.test(text) && (letter || places.every((at) => pieces[at]!.is === 'number'));
  return { name: short ? `${text} ${named}` : named, places, part, sure };
}

const range = (from: number, to: number): number[] => Array.from({ length: to - from }, (_, at) => from + at);

/** "Upper Tannery lot": a word for a place behind the name belongs to it. */
const withLot = (scan: Scan, run: readonly number[], to: number): readonly number[] => {
  const next = (run.at(-1) ?? to) + 1;
  const behind = scan.pieces[next];
  const lot =
    next < to && behind !== undefined && /^(?:lot|woods?|farm|ranch|grove|plantation)$/.test(behind.text);
  return lot && run.length > 0 ? [...run, next] : run;
};

const onlyLight = (scan: Scan, from: number, to: number, own: readonly number[]): boolean =>
  scan.pieces
    .slice(from, to)
    .every(
      ({ light, concepts }, at) =>
        light || own.includes(from + at) || concepts.has('open') || concepts.has('here'),
    );

/** "Brenner's Wood", "Upper Tannery Lot": the word for it is a part of the name where it has a capital too. */
function withWord(scan: Scan, word: number): number[] | undefined {
  const { pieces } = scan;
  if (!pieces[word]!.capital && pieces[word - 1]?.text !== "'s") return undefined;
  let from = word;
  while (from > 0 && (pieces[from - 1]!.text === "'s" || (pieces[from - 1]!.capital && from > 1))) from--;
  return from < word && from > 0 && pieces[from]!.capital
    ? Array.from({ length: word - from + 1 }, (_, i) => from + i)
    : undefined;
}

const beingSomewhere =
  /^(?:(?:ok|okay|so|now|and|right|well|hi|hello|good|morning|afternoon|evening|day) )*(?:(?:we|i) (?:are|am|will be|was|were)(?: now| still| just| all)? ?)?(?:(?:working|starting|out|up|down|over|back|today) )*(?:at|in|on|by|near|along|under|below|above|from) /;
/** What is only told of where one is, not what a place is called. */
const nearby = /^(?:by|near|along|under|below|above)$/;
const ofDay = /^(?:today|this morning|this afternoon|now|again|tomorrow)$/;

/** "We're at Alder Hollow" is a stand, "we're on the creek side" is told of where one is. */
function placeDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  const [lead = ''] = beingSomewhere.exec(text) ?? [];
  let from = 0;
  while (from < scan.pieces.length && scan.text(0, from).length < lead.length - 1) from++;
  if (scan.pieces.some(({ is, text: one }) => is === 'break' && one !== 'and')) return undefined;
  const to = nameEnd(scan, from);
  const name = ownName(scan.pieces.slice(from, to));
  const behind = scan.pieces.slice(to);
  const [first] = name;
  if (first === undefined) return whereOneIs(scan, from);
  if (scan.numbers.some((at) => at < from || at >= to)) return undefined;
  const dated = behind.some(({ text: one }) => ofDay.test(one)) || /\btoday\b/.test(lead);
  const led = lead !== '' && !nearby.test(lead.trim().split(' ').at(-1) ?? '');
  const species = name.every(({ is }) => is === 'species');
  const named = first.capital && !species && (first.unknown || name.length > 1) && !nobody.test(first.text);
  const people = peopleBehind(scan, to);
  const done = behind.every(({ text: one, light }) => ofDay.test(one) || light) || people !== undefined;
  if (named && done && (led || (from === 0 && dated))) {
    const stand: Note = { kind: 'stand', name: nameOf(name) };
    const notes: readonly [Note, ...Note[]] =
      people === undefined ? [stand] : [stand, { kind: 'remark', text: people }];
    return { notes, used: everyPlace(scan), against: -0.1 };
  }
  return whereOneIs(scan, from);
}

/** "On the creek side": kept as it was said. */
function whereOneIs(scan: Scan, from: number): Draft | undefined {
  const behind = scan.pieces.slice(from);
  if (scan.numbers.length > 0 || !/\b(?:we|i) (?:are|am|will be|was|were)\b/.test(scan.text(0, from)))
    return undefined;
  if (!behind.some(({ unknown, capital }) => unknown || capital)) return undefined;
  const plain = behind.every(({ is, concepts, light }) => is === 'words' && (light || concepts.size === 0));
  return plain
    ? { notes: [{ kind: 'remark', text: scan.text() }], used: everyPlace(scan), against: 0.3 }
    : undefined;
}

/** "Jo's gone back to the truck": no part of what is Jo's. */
const leadsOn =
  /^(?:to|so|just|is|was|has|had|got|gone|in|on|at|from|a|an|the|me|us|it|going|coming|here|not)$/;

/** Where the name of a place ends: at words that lead on, at the day, or where nothing was written with a capital. */
function nameEnd(scan: Scan, from: number): number {
  const { pieces } = scan;
  let to = from;
  let owned = false;
  if (pieces[to]?.text === 'the' && pieces[to + 1]?.capital === true) to++;
  for (; to < pieces.length && to < from + 6; to++) {
    const { text, capital } = pieces[to]!;
    if (/^(?:with|for|and)$/.test(text) || ofDay.test(text)) break;
    // "Corley's back forty": what somebody has is a part of the name.
    if (text === "'s") owned = true;
    else if (!capital && (!owned || leadsOn.test(text)) && !isPlaceWord(pieces[to]!)) break;
  }
  return to;
}

/** "The Dorsey tract" is called Dorsey; "Corley's back lot" is called so. */
const ownName = (pieces: readonly SaidPiece[]): readonly SaidPiece[] => {
  const owned = pieces.some(({ text }) => text === "'s");
  return pieces.filter(
    (piece, at) => (at > 0 || piece.text !== 'the') && (owned || piece.capital || !isPlaceWord(piece)),
  );
};

const nameOf = (pieces: readonly SaidPiece[]): string =>
  pieces
    .map(({ name, text }) => name ?? text)
    .join(' ')
    .replaceAll(" '", "'");

/** "With Nell and Jonah" behind the name: who is there. */
function peopleBehind(scan: Scan, at: number): string | undefined {
  const [first, ...names] = scan.pieces.slice(at).filter(({ text }) => !ofDay.test(text));
  const all = names.every(({ capital, is, text }) => text === 'and' || (is === 'words' && capital));
  return first?.text === 'with' && names.length > 0 && names.length < 5 && all
    ? `with ${nameOf(names)}`
    : undefined;
}

/** The first places that follow one another. */
function runOf(places: readonly number[]): number[] {
  const run: number[] = [];
  for (const at of places) if (run.length === 0 || at === run.at(-1)! + 1) run.push(at);
  return run;
}

/** Names right before the word for a place: "Otis and Junie on the Pruett lot". */
function runTo(places: readonly number[], word: number): number[] | undefined {
  let from = word;
  while (places.includes(from - 1)) from--;
  return from < word ? range(from, word) : undefined;
}

/** "Heading back to the truck": where to, is nothing to keep. */
function goingHome(scan: Scan): Draft | undefined {
  const at = scan.at('stop');
  const goes = at >= 0 && /^(?:heading|going|off|head|go) /.test(scan.pieces[at]!.text);
  const [before, behind] = [scan.pieces.slice(0, at), scan.pieces.slice(at + 1)];
  const where =
    behind.length < 5 &&
    /^(?:to|for|back|in|down|up|out)?(?: |$)/.test(scan.text(at + 1)) &&
    behind.every(({ is, unknown, light }) => is === 'words' && (unknown || light));
  if (
    !goes ||
    !where ||
    !before.every(({ is, text }) => is === 'break' || polite.test(text) || /^(?:am|are|we|us)$/.test(text))
  )
    return undefined;
  return { notes: [{ kind: 'control', op: 'stop' }], used: everyPlace(scan), against: 0.3 };
}

const orders: readonly (readonly [Concept, Note])[] = [
  ['quiet', { kind: 'control', op: 'quiet' }],
  ['speak', { kind: 'control', op: 'speak' }],
  ['stop', { kind: 'control', op: 'stop' }],
  ['slower', { kind: 'control', op: 'slower' }],
];

const polite =
  /^(?:please|now|ok|okay|just|then|be|a|minute|for|today|so|well|thanks|you|thank|may|can|the|day|and|all|right|again|until|till|i|call|ask|need|say|that)$/;

/** Orders to the tool: only where nothing else is said. */
export function controlDraft(scan: Scan): Draft | undefined {
  if (scan.numbers.length > 0 || scan.species.length > 0 || scan.asked) return undefined;
  // "Say again slower" asks for the last answer.
  if (
    scan.has('slower') &&
    /\b(?:say|again|repeat)\b/.test(scan.text()) &&
    !/\b(?:talk|speak)\b/.test(scan.text())
  )
    return { notes: [{ kind: 'answer', answer: 'repeat' }], used: everyPlace(scan), against: 0 };
  for (const [concept, note] of orders)
    if (
      scan.has(concept) &&
      scan.pieces.every(
        ({ is, concepts, text }) => is !== 'words' || concepts.has(concept) || polite.test(text),
      )
    )
      return { notes: [note], used: everyPlace(scan), against: 0.3 };
  return goingHome(scan);
}
