/** The things said in a breath as the notes that are kept, or asked about. */
import {
  type Candidate,
  type Measurement,
  mostNotes,
  type Note,
  type TreeFacts,
} from '../../shared/note/note.ts';
import { borderMark } from '../../shared/totals/types.ts';
import { isSequence } from '../automaton/note-sequence.ts';
import { withEach } from './compose-lists.ts';
import type { SaidPart } from './compose-parts.ts';
import { withoutAnnouncing } from './compose-walks.ts';
import { offered } from './reading.ts';
import { turnsBack } from './telling.ts';

/** A breath, cut into things said. */
export interface BreathWay {
  readonly parts: readonly SaidPart[];
  readonly cost: number;
}

/** What a breath may cost in words left over before it is refused, and what a question is worth asking for. */
const askUpTo = 5;
/** All notes, each tree with what is told of each of them; undefined where other trees follow than were announced. */
function notesOf(parts: readonly SaidPart[]): readonly Note[] | undefined {
  let notes: readonly Note[] = [];
  let expected: number | undefined;
  for (const part of parts) {
    if (part.announces !== undefined) expected = part.announces;
    if (part.each !== undefined) {
      if (notes.filter(({ kind }) => kind === 'tree').length < 2) return undefined;
      notes = withEach(notes, part.each);
    } else notes = [...notes, ...part.notes];
  }
  // "Eleven trees" and nothing behind it: they were counted.
  if (expected !== undefined && notes.length === 0) return [{ kind: 'tree', facts: { count: expected } }];
  const trees = notes.filter(({ kind }) => kind === 'tree').length;
  return expected === undefined || expected === trees ? notes : undefined;
}

/** "Leave the ash out, delete it" takes back one thing. */
function saidOnce(notes: readonly Note[]): readonly Note[] {
  return notes.filter((note, at) => {
    const before = notes[at - 1];
    if (before?.kind !== 'scratch') return true;
    // "Drop the holly, it's out" tells why.
    const why = note.kind === 'tree' && note.facts.border === 'out' && Object.keys(note.facts).length === 1;
    return !why && !(note.kind === 'scratch' && Object.keys(note).length === 1);
  });
}

/** "It's on the line, leave it out": how a tree on the border is counted. */
function withVerdict(notes: readonly Note[]): readonly Note[] {
  const last = notes.at(-1);
  const bare = last?.kind === 'scratch' && Object.keys(last).length === 1;
  const onBorder = notes.some(
    (note) => note.kind === 'tree' && note.facts.marks?.includes(borderMark) === true,
  );
  return bare && onBorder ? [...notes.slice(0, -1), { kind: 'tree', facts: { border: 'out' } }] : notes;
}

/** A height of one distance or one reading goes into the tree before it, as it does word for word. */
function withHeights(notes: readonly Note[]): readonly Note[] {
  const all: Note[] = [];
  for (const note of notes) {
    const before = all.at(-1);
    const begun =
      before?.kind === 'tree' && before.height === undefined && before.facts.species !== undefined;
    if (begun && note.kind === 'height' && isPlainHeight(note.height))
      all[all.length - 1] = { ...before, height: note.height };
    else all.push(note);
  }
  return all;
}

/** "Finish" alone may mean much else; before a plot that begins it ends the one in hand. */
const closesBefore = ({ notes, left }: SaidPart, next: SaidPart | undefined): boolean => {
  const [close, ...others] = notes;
  const [open] = next?.notes ?? [];
  const begins = open?.kind === 'plot' && open.op === 'open';
  return begins && left.length === 0 && others.length === 0 && close?.kind === 'plot' && close.op === 'close';
};

const isPlainHeight = (height: Measurement): boolean =>
  (height.method === 'stick' && height.base === undefined && height.lean === undefined) ||
  (height.method === 'reading' && height.takes.length === 1);

/** Why something is taken back is no part of what is kept: "drop the ironwood, it's out". */
function withoutReasons(parts: readonly SaidPart[]): readonly SaidPart[] {
  const ofLastState = (note: Note): boolean =>
    note.kind === 'remark' ||
    (note.kind === 'tree' && Object.keys(note.facts).every((fact) => /^(?:border|status|marks)$/.test(fact)));
  return parts.filter(
    ({ notes, harmless }, at) =>
      parts[at - 1]?.notes.some(({ kind }) => kind === 'scratch') !== true ||
      !(harmless === true || (notes.length > 0 && notes.every(ofLastState))),
  );
}

/** What is told beside the day's end is a remark: "done for today, fingers frozen". */
function withLastWords(parts: readonly SaidPart[]): readonly SaidPart[] {
  const ends = parts.findIndex(({ notes }) =>
    notes.some((note) => note.kind === 'control' && note.op === 'stop'),
  );
  if (ends < 0) return parts;
  return parts.map((part, at): SaidPart => {
    const [words] = part.left;
    if (at < ends || part.notes.length > 0 || part.harmless !== true || words === undefined) return part;
    return {
      notes: [{ kind: 'remark', text: words.replaceAll(" '", "'") }],
      cost: 1.3,
      sure: true,
      left: [],
    };
  });
}

/** What is told beside a note that is whole without it is a remark: "got my boots on now, call the eye five". */
function withAsides(parts: readonly SaidPart[]): readonly SaidPart[] {
  const others = parts.filter(({ aside }) => aside === undefined);
  const [only, ...more] = parts.filter(({ aside }) => aside !== undefined);
  const notes = others.flatMap((part) => part.notes);
  const whole =
    only?.aside !== undefined &&
    more.length === 0 &&
    notes.length > 0 &&
    others.every(
      ({ sure, left, other, each }) => sure && left.length === 0 && other === undefined && each === undefined,
    ) &&
    notes.every(isBeside[only.aside]) &&
    !(notes.some(({ kind }) => kind === 'height') && saysHow.test(only.left.join(' '))) &&
    (only.aside === 'seen' ||
      parts[0] !== only ||
      !notes.some(isMeasure) ||
      ofAround.test(only.left.join(' ')));
  if (!whole) return parts;
  // Of a question and of what the notebook is to do nothing is kept.
  const kept = notes.every(({ kind }) => kind !== 'ask' && kind !== 'control');
  return parts.map((part): SaidPart => {
    if (part.aside === undefined) return part;
    const remark: Note = { kind: 'remark', text: part.left.join(' ').replaceAll(" '", "'") };
    return { notes: kept ? [remark] : [], cost: 1.3, sure: true, left: [] };
  });
}

const isMeasure = ({ kind }: Note): boolean => kind === 'height' || kind === 'plot';
/** "The sun is out" is of what is around; before a measure "a stranger, ..." may be of another tree. */
const ofAround = /^(?:the|my|our|too|such|some|all) /;

/** "Says the apparatus": it tells how a height was measured. */
const saysHow = /(?:^| )(?:says?|said|reads?|shows?|by|with|using|per)(?: |$)/;

/** A height that says how it was taken; a length alone may be anything. */
const isWhole = (note: Note): boolean =>
  note.kind === 'height' &&
  !(note.height.method === 'stick' && note.height.distance.by === 'length' && note.height.eye === undefined);

/** What an aside may stand beside. Words in no frame may be the name of a tree or of somebody, a slip, or mend what was said. */
const isBeside: Readonly<Record<'seen' | 'loose', (note: Note) => boolean>> = {
  seen: (note) => /^(?:tree|setting|control|plot|ask)$/.test(note.kind) || isWhole(note),
  loose: (note) =>
    note.kind === 'plot' || isWhole(note) || (note.kind === 'setting' && note.set.what !== 'person'),
};

/** What it has besides its measures: logs, defect, marks. */
const isState = (facts: TreeFacts): boolean =>
  Object.keys(facts).every((fact) => /^(?:logs|defect|status|marks)$/.test(fact));

const isBare = (note: Note): boolean =>
  note.kind === 'tree' && note.height === undefined && Object.keys(note.facts).join() === 'species';

/** Behind words that nobody here knows only what begins by itself is sure: "hazard, ten feet off the line" is no height. */
const isApart = (parts: readonly SaidPart[]): boolean => {
  const free = parts.findIndex((part) => part.free === true);
  if (free < 0) return true;
  const mends = parts.some(({ notes }) => notes.some(({ kind }) => kind === 'change'));
  // "A goat willow, also called sallow, thirteen": one tree, named twice.
  const named = parts.flatMap(({ notes }) => notes).filter(({ kind }) => kind === 'tree');
  const twice = named.some((note, at) => isBare(note) && named[at + 1] !== undefined);
  const behind = parts.slice(free + 1).flatMap(({ notes }) => notes);
  const apart = behind.every(
    (note) =>
      note.kind === 'remark' ||
      (note.kind === 'tree' && (note.facts.species !== undefined || isState(note.facts))),
  );
  return apart && !mends && !twice;
};

/** The best way as what is kept, or asked. */
export function candidatesOf(way: BreathWay, text: string): readonly Candidate[] | undefined {
  const parts = withAsides(withLastWords(withoutReasons(way.parts)));
  const all = notesOf(parts);
  if (all === undefined) return undefined;
  const notes = withoutAnnouncing(withHeights(withVerdict(saidOnce(all))));
  const [first, ...rest] = notes;
  if (first === undefined || notes.length > mostNotes || !isSequence(notes)) return undefined;
  const left = parts.flatMap((part) => part.left);
  const surplus = parts.reduce((sum, part) => sum + part.cost - (part.notes.length > 0 ? 1 : 0), 0);
  // They may be told one by one in the next breath.
  const announced = way.parts.every((part) => part.notes.length === 0);
  const sure =
    !announced && isApart(parts) && parts.every((part, at) => part.sure || closesBefore(part, parts[at + 1]));
  if (surplus > askUpTo) return undefined;
  const unclear = parts.findIndex(({ other }) => other !== undefined);
  if (left.length > 0) {
    // "The one before the last": what is left over may tell which.
    if (turnsBack(notes)) return undefined;
    return [
      { notes: [first, ...rest], words: text, posterior: 0.5, unread: left.join(', ').replaceAll(" '", "'") },
    ];
  }
  if (unclear >= 0) {
    const other = withHeights(parts.flatMap((part, at) => (at === unclear ? part.other! : part.notes)));
    const [one, ...more] = other;
    return [
      { notes: [first, ...rest], words: text, posterior: 0.4 },
      ...(one === undefined ? [] : [{ notes: [one, ...more] as const, words: text, posterior: 0.3 }]),
    ];
  }
  return [{ notes: [first, ...rest], words: text, posterior: sure ? 1 : offered }];
}
