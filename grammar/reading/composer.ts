/**
 * Reads typed words that stand in no sentence of the description: pieces that mean something (numbers with their units,
 * names, words of which it is known what they speak of) are put together to notes, whatever their order. A breath is cut
 * where the notes fit best. What tells something is never dropped: it is read only where every number and every telling
 * word has its place, and asked about where some words have none.
 */
import {
  type Candidate,
  type Measurement,
  mostNotes,
  type Note,
  noteSchema,
} from '../../shared/note/note.ts';
import { isSequence } from '../automaton/note-sequence.ts';
import { normalise } from '../description/normalise.ts';
import type { Syntax } from '../description/syntax.ts';
import { hasLongName } from './another-look.ts';
import { askDraft } from './compose-asking.ts';
import { heightDraft } from './compose-heights.ts';
import {
  announced,
  type OfEach,
  ofEach,
  rowDraft,
  withEach,
  withLeftOut,
  withOneMore,
} from './compose-lists.ts';
import { changeDraft } from './compose-mending.ts';
import { personDraft, settingDraft, statureDraft } from './compose-people.ts';
import { isInDraft, pickDraft } from './compose-picks.ts';
import { controlDraft, standDraft } from './compose-places.ts';
import { plotDraft } from './compose-plots.ts';
import { priceDraft } from './compose-prices.ts';
import { remarkDraft, remarkOfRun } from './compose-remarks.ts';
import { restoreDraft, scratchDraft } from './compose-scratch.ts';
import { handDraft, moreDraft, treeDraft } from './compose-trees.ts';
import type { Reader } from './exact.ts';
import { PieceReader, type SaidPiece } from './pieces.ts';
import { isTyped } from './plainly.ts';
import { isPlausible, leftOutOf } from './plausible.ts';
import { type Draft, Scan } from './scan.ts';
import { tellsMuch, turnsBack } from './telling.ts';
import { tearing } from './torn-numbers.ts';

/** Clauses of a breath, and of one note. */
const mostClauses = 14;
const longest = 6;

const drafters = [
  priceDraft,
  pickDraft,
  isInDraft,
  askDraft,
  controlDraft,
  scratchDraft,
  restoreDraft,
  remarkDraft,
  personDraft,
  settingDraft,
  statureDraft,
  standDraft,
  plotDraft,
  changeDraft,
  rowDraft,
  treeDraft,
  moreDraft,
  handDraft,
  heightDraft,
] as const;

/** What a breath may cost in words left over before it is refused, and what a question is worth asking for. */
const askUpTo = 5;
/** What a part costs that leaves words over: two things understood go before one with a word that is not. */
const leavingOver = 0.5;

/** Notes of these kinds are read word for word in one clause only where nothing else was said in it. */
const neverExact: ReadonlySet<Note['kind']> = new Set([
  'number',
  'pick',
  'answer',
  'call',
  'stand',
  'stratum',
  'remark',
  'again',
]);

/** What takes back or changes is never read beside words that were left out. */
const mending: ReadonlySet<Note['kind']> = new Set(['change', 'scratch', 'undo', 'restore', 'control']);

const neverOneWord: ReadonlySet<Note['kind']> = new Set(['control', 'scratch', 'next', 'undo']);

interface Part {
  readonly notes: readonly Note[];
  readonly other?: readonly Note[];
  readonly cost: number;
  readonly sure: boolean;
  /** Words that were not understood. */
  readonly left: readonly string[];
  /** It is told of each of the trees before it. */
  readonly each?: OfEach;
  /** So many trees follow. */
  readonly announces?: number;
  /** Nothing in it is a number, a name or a "not". */
  readonly harmless?: boolean;
}

interface Way {
  readonly parts: readonly Part[];
  readonly cost: number;
}

export class Composer {
  private readonly pieces: PieceReader;

  constructor(
    trees: Syntax,
    private readonly reader: Reader,
  ) {
    this.pieces = new PieceReader(trees, new Set(reader.automaton.words));
  }

  /** What the words may mean; undefined where they cannot be put together. */
  read(text: string): readonly Candidate[] | undefined {
    if (!isTyped(text)) return undefined;
    const said = this.pieces.read(text);
    const { pieces: asIs, tagged } = withoutTag(said.pieces);
    const asked = said.asked || tagged;
    const pieces = withOneMore(withLeftOut(mendedAtOnce(saidOver(asIs))));
    const borders = bordersOf(pieces);
    if (pieces.length === 0 || borders.length - 1 > mostClauses) return undefined;
    const way = this.bestWay(pieces, borders, asked);
    const found = way === undefined ? undefined : candidatesOf(way, text);
    const [only] = found ?? [];
    // A mess that happens to hold a note is offered.
    const kept = only?.posterior === 1 ? only.notes : undefined;
    return only !== undefined &&
      kept !== undefined &&
      !(isPlausible(text, said.pieces, kept) && leftOutOf(pieces, kept) === undefined)
      ? [{ ...only, posterior: 0.7 }]
      : found;
  }

  /** True where nothing is said but what stands around notes: greetings, thanks, "bear with me". */
  isTalk(text: string): boolean {
    if (!isTyped(text)) return false;
    const { pieces } = this.pieces.read(text);
    const said = pieces.filter(({ is }) => is !== 'break');
    const talk = said.some(
      ({ concepts, text: word }) => concepts.has('talk') || /^(?:thanks|cheers|ta)$/.test(word),
    );
    return talk && said.every(({ light, concepts }) => light || concepts.has('talk'));
  }

  /** What was said as one stretch, and the words that nobody here knows; undefined where signs stand in it that nobody types. */
  asSaid(text: string): { readonly scan: Scan; readonly unknown: readonly string[] } | undefined {
    if (!isTyped(text)) return undefined;
    const { pieces, asked } = this.pieces.read(text);
    const unknown = pieces.filter((piece) => piece.unknown).map(({ text: word }) => word);
    return { scan: new Scan(pieces, asked), unknown: [...new Set(unknown)] };
  }

  private bestWay(pieces: readonly SaidPiece[], borders: readonly number[], asked: boolean): Way | undefined {
    const ways: (Way | undefined)[] = [{ parts: [], cost: 0 }];
    for (let to = 1; to < borders.length; to++) {
      for (let from = Math.max(0, to - longest); from < to; from++) {
        const before = ways[from];
        if (before === undefined) continue;
        const found = this.partOf(
          trimmed(pieces.slice(borders[from], borders[to])),
          asked && to === borders.length - 1,
        );
        // Two names without anything between may be one thing, or a number of the second.
        const joined =
          pieces[borders[from]! - 1]?.is === 'number' &&
          !pieces.slice(borders[from], borders[to]).some(({ is }) => is === 'number');
        const part = found !== undefined && joined ? { ...found, sure: false } : found;
        if (part === undefined) continue;
        const cost = before.cost + part.cost;
        const known = ways[to];
        // What may be told of the one before or the one behind is told of the one before.
        const ties = known !== undefined && Math.abs(cost - known.cost) < 1e-9;
        if (known === undefined || cost < known.cost || ties)
          ways[to] = { parts: [...before.parts, part], cost };
      }
    }
    return ways[borders.length - 1];
  }

  /** One stretch of clauses as one thing said. */
  private partOf(pieces: readonly SaidPiece[], asked: boolean): Part | undefined {
    const telling = pieces.filter(({ light, is }) => !light && is !== 'break');
    if (telling.every(({ concepts }) => concepts.has('talk')))
      return { notes: [], cost: 0.1, sure: true, left: [] };
    const scan = new Scan(pieces, asked);
    if (changesMind.test(scan.text())) return { notes: [], cost: 0.3, sure: true, left: [] };
    const exact = this.putRight(pieces) ?? this.exactly(scan);
    let best = exact;
    for (const drafter of drafters) {
      const draft = drafter(scan);
      if (draft === undefined) continue;
      const part = partOfDraft(scan, draft);
      if (part !== undefined && (best === undefined || part.cost < best.cost)) best = part;
    }
    best = ofTrees(scan, best);
    const unknown = telling.every((piece) => piece.unknown);
    if (best === undefined && pieces.filter(({ is }) => is === 'break').length === 0) {
      // Nothing of it is understood: it is left over as a whole, dearer where it tells something.
      const left = [scan.text()];
      const harmless = scan.numbers.length === 0 && scan.species.length === 0 && !scan.has('no', 'fix');
      return {
        notes: [],
        cost: unknown ? 1.5 + telling.length : 6 + telling.length,
        sure: false,
        left,
        harmless,
      };
    }
    return best;
  }

  /** "No, base one metre below me", "no, four pines": a "no" before what puts right what was said is no answer by itself. */
  private putRight([no, ...behind]: readonly SaidPiece[]): Part | undefined {
    if (no?.text !== 'no' || behind[0]?.is !== 'break') return undefined;
    const part = this.exactPart(normalise(new Scan(trimmed(behind)).text()), true, false);
    const [note, ...more] = part?.notes ?? [];
    if (part === undefined || note === undefined || more.length > 0 || part.other !== undefined)
      return undefined;
    if (note.kind === 'change') return { ...part, cost: 0.9 };
    const counts =
      note.kind === 'tree' && note.facts.count !== undefined && note.facts.diameter === undefined;
    return counts ? { ...part, notes: [{ kind: 'change', facts: note.facts }], cost: 0.9 } : undefined;
  }

  /** Word for word, without light words where they stand in the way. */
  private exactly(scan: Scan): Part | undefined {
    // What is dead and alive is two trees.
    if ((scan.has('dead') && scan.has('live')) || hasSizesApart(scan)) return undefined;
    const whole = scan.text();
    // Without light words "not" would stand before something else, and a name without its article begins a tree.
    const named =
      scan.species.length > 0 && scan.pieces.some(({ text }) => /^(?:the|that|this|it|is|was)$/.test(text));
    const numbered =
      (scan.numbers.length > 0 && !scan.numbers.some((at) => scan.isStature(at))) || scan.has('plot');
    const lighter = numbered && !named && !scan.has('no', 'not') ? bare(scan) : whole;
    const accented = scan.pieces.some(({ name }) => name !== undefined);
    const tears = tearing(scan.numbers.map((at) => String(scan.number(at).value)).join(' '));
    const untorn = (part: Part | undefined): Part | undefined =>
      part !== undefined && tears?.(part.notes) === true ? undefined : part;
    return (
      untorn(this.exactPart(whole, true, accented)) ??
      (lighter === whole ? undefined : untorn(this.exactPart(lighter, false, accented)))
    );
  }

  /** `accented`: a name of it has accents, which are lost word for word. */
  private exactPart(text: string, whole: boolean, accented: boolean): Part | undefined {
    if (text === '' || /[^a-z' ,]/.test(text)) return undefined;
    const read = this.reader.read(text);
    if (!read.ok || read.value.length > 2) return undefined;
    const [first, second] = read.value;
    const few = text.split(' ').length;
    const refused = (note: Note): boolean =>
      isKindRefused(note) ||
      hasLongName(note) ||
      (accented && note.kind === 'setting' && note.set.what === 'person');
    const isKindRefused = ({ kind }: Note): boolean =>
      neverExact.has(kind) ||
      (!whole && mending.has(kind)) ||
      (few < 3 && kind === 'ask') ||
      (few < 2 && neverOneWord.has(kind));
    if (first === undefined || first.notes.some(refused)) return undefined;
    return {
      notes: first.notes,
      ...(second === undefined ? {} : { other: second.notes }),
      // What may mean two things stands behind what can mean one.
      cost: first.notes.length + (whole ? 0 : 0.1) + (second === undefined ? 0 : 0.1),
      sure: true,
      left: [],
    };
  }
}

/** "Isn't it", "can it", "eh": it asks whether what stands before it is so. */
const tag =
  /^(?:(?:is|are|was|were|does|do|did|can|could|has|have|will|would) (?:not )?(?:it|that|they|he|she)|eh|innit|huh)$/;

/** Pieces without a question behind them that only turns them round; behind a comma, or behind "that can't be right". */
function withoutTag(pieces: readonly SaidPiece[]): { pieces: readonly SaidPiece[]; tagged: boolean } {
  for (let at = pieces.length - 1; at > 1 && at >= pieces.length - 4; at--) {
    const words = pieces.slice(at).map(({ text }) => text);
    const before = pieces.slice(0, at);
    if (tag.test(words.join(' ')) && (before[at - 1]!.is === 'break' || isDoubted(before)))
      return { pieces: trimmed(before), tagged: true };
  }
  return { pieces, tagged: false };
}

const isDoubted = (pieces: readonly SaidPiece[]): boolean =>
  pieces.some(({ concepts }) => concepts.has('why'));

/** "Sitka, twenty four, Sitka, twenty six": a number in a clause of its own before one name is none of how many. */
const hasSizesApart = ({ pieces }: Scan): boolean =>
  pieces.some(
    ({ is, number }, at) =>
      is === 'number' &&
      number?.unit === undefined &&
      (at === 0 || pieces[at - 1]!.is === 'break') &&
      pieces[at + 1]?.is === 'break' &&
      pieces[at + 2]?.is === 'species' &&
      pieces[at + 2]?.many !== true,
  );

const bare = (scan: Scan): string => {
  // What stands where is told by these.
  const kept = scan.pieces.filter(
    ({ light, is, concepts, text }) =>
      !light ||
      is === 'break' ||
      concepts.size > 0 ||
      /^(?:at|from|by|of|to|on|in|over|up|down|as|if|or|but)$/.test(text),
  );
  return new Scan(kept).text().replace(/^,\s*|,$/g, '');
};

/** What was said wrong with the right value, in its unit; undefined where the two are no such pair. */
function putRight(wrong: SaidPiece, right: SaidPiece): SaidPiece | undefined {
  if (wrong.is === 'species') return right;
  const { number } = right;
  const unit = wrong.number?.unit;
  if (wrong.is !== 'number' || number === undefined) return undefined;
  if (number.unit !== undefined && number.unit !== unit) return undefined;
  if (unit === undefined || number.unit !== undefined) return right;
  return { ...right, text: `${right.text} ${unit}`, number: { ...number, unit } };
}

/** "Sixteen, one six": the same number said over by its figures. */
const saidOver = (pieces: readonly SaidPiece[]): readonly SaidPiece[] =>
  pieces.filter(({ number }, at) => {
    const before = pieces[at - 1]?.is === 'break' ? pieces[at - 2]?.number : undefined;
    return (
      before === undefined || number?.pair === undefined || number.pair.join('') !== String(before.value)
    );
  });

/** "Three logs, no wait, two": what is put right as it is said. */
function mendedAtOnce(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  for (let at = 1; at < pieces.length; at++) {
    if (!pieces[at]!.concepts.has('no')) continue;
    let before = at - 1;
    while (before >= 0 && (pieces[before]!.is === 'break' || pieces[before]!.light)) before--;
    let behind = at + 1;
    while (
      behind < pieces.length &&
      (pieces[behind]!.is === 'break' || pieces[behind]!.light || pieces[behind]!.concepts.has('fix'))
    )
      behind++;
    const [wrong, right] = [pieces[before], pieces[behind]];
    if (wrong === undefined || right === undefined || wrong.is !== right.is || behind - before > 7) continue;
    const put = putRight(wrong, right);
    if (put === undefined) continue;
    return mendedAtOnce([...pieces.slice(0, before), put, ...pieces.slice(behind + 1)]);
  }
  return pieces;
}

/** Where a breath may be cut: behind each break, and before a second species. */
function bordersOf(pieces: readonly SaidPiece[]): number[] {
  const borders = [0];
  let species = false;
  pieces.forEach((piece, at) => {
    if (piece.is === 'break') {
      borders.push(at + 1);
      species = false;
    } else if (beginsSetting(pieces, at)) {
      borders.push(at);
    } else if (piece.is === 'species') {
      const before = pieces[at - 1];
      if (species && before?.is === 'number') borders.push(at);
      // "P3 beech 20": a plot, and what stands on it.
      else if (before?.is === 'number' && pieces[at - 2]?.concepts.has('plot') === true) borders.push(at);
      species = true;
    }
  });
  if (pieces.length > 0) borders.push(pieces.length);
  return [...new Set(borders)];
}

/** "Pace 0.72 m eye 158 cm": another setting begins behind the number of the first. */
function beginsSetting(pieces: readonly SaidPiece[], at: number): boolean {
  const own = pieces[at]!;
  const names = (piece: SaidPiece): boolean => piece.concepts.has('eye') || piece.concepts.has('pace');
  if (own.is === 'number' || !names(own) || pieces[at - 1]?.is !== 'number') return false;
  const clause = pieces.slice(0, at).findLastIndex(({ is }) => is === 'break');
  const behind = pieces.slice(at + 1).findIndex(({ is }) => is === 'break' || is === 'number');
  return pieces.slice(clause + 1, at).some(names) && pieces[at + 1 + behind]?.is === 'number';
}

function trimmed(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  let to = pieces.length;
  while (to > 0 && pieces[to - 1]!.is === 'break') to--;
  return pieces.slice(0, to);
}

/** What is told of several trees at once, where it is cheaper than what it may be else. */
function ofTrees(scan: Scan, best: Part | undefined): Part | undefined {
  const announces = announced(scan);
  if (announces !== undefined) return { notes: [], cost: 0.4, sure: true, left: [], announces };
  const each = ofEach(scan);
  if (each === undefined || runsLeft(scan, each.used).length > 0) return best;
  return { notes: [], cost: 0.7, sure: each.sure, left: [], each };
}

/** All notes, each tree with what is told of each of them; undefined where other trees follow than were announced. */
function notesOf(parts: readonly Part[]): readonly Note[] | undefined {
  let notes: readonly Note[] = [];
  let expected: number | undefined;
  for (const part of parts) {
    if (part.announces !== undefined) expected = part.announces;
    if (part.each !== undefined) {
      if (notes.filter(({ kind }) => kind === 'tree').length < 2) return undefined;
      notes = withEach(notes, part.each);
    } else notes = [...notes, ...part.notes];
  }
  const trees = notes.filter(({ kind }) => kind === 'tree').length;
  return expected === undefined || expected === trees ? notes : undefined;
}

/** What a draft costs with the words that it leaves over. */
function partOfDraft(scan: Scan, draft: Draft): Part | undefined {
  const all = [...draft.notes, ...(draft.other ?? [])];
  if (all.some((note) => !noteSchema.safeParse(note).success)) return undefined;
  const ofTree =
    draft.other === undefined && draft.notes.some(({ kind }) => kind === 'tree' || kind === 'hand');
  const ofPlace = draft.notes.every(
    (note) =>
      note.kind === 'stand' || note.kind === 'stratum' || (note.kind === 'plot' && note.op === 'empty'),
  );
  const left: string[] = [];
  const remarks: Note[] = [];
  let sure = draft.unsure !== true;
  let cost = 1 + 0.05 * (draft.notes.length - 1) + draft.against;
  const runs = runsLeft(scan, draft.used);
  for (const run of runs) {
    // "Today" says of a note what its time says.
    if (isIdle(scan, run)) continue;
    const told = ofTree ? remarkOfRun(scan, run) : ofPlace ? besideName(scan, run) : undefined;
    if (told === undefined) {
      left.push(scan.text(run.from, run.to));
      cost += costLeft(scan.pieces.slice(run.from, run.to));
      continue;
    }
    remarks.push({ kind: 'remark', text: told.text });
    cost += 0.3;
    if (!told.sure) sure = false;
  }
  if (left.length > 0) cost += leavingOver;
  // A question with telling words left over asks for something else.
  const asks = draft.notes.some(({ kind }) => kind === 'ask');
  if (
    asks &&
    runs.some(({ from, to }) => scan.pieces.slice(from, to).some(({ concepts }) => concepts.size > 0))
  )
    return undefined;
  if (asks && left.length > 0 && cost - draft.against > 3.9) return undefined;
  return {
    notes: [...draft.notes, ...remarks],
    ...(draft.other === undefined ? {} : { other: draft.other }),
    cost,
    sure: sure && left.length === 0,
    left,
  };
}

interface Run {
  readonly from: number;
  /** Exclusive. */
  readonly to: number;
}

/** Stretches of pieces that nothing uses, without light words at their ends. */
function runsLeft(scan: Scan, used: ReadonlySet<number>): Run[] {
  const runs: Run[] = [];
  let from = -1;
  let last = -1;
  const close = (): void => {
    if (from >= 0) runs.push({ from, to: last + 1 });
    from = -1;
  };
  scan.pieces.forEach((piece, at) => {
    if (piece.is === 'break' || used.has(at)) close();
    else if (!piece.light) {
      if (from < 0) from = at;
      last = at;
    }
  });
  close();
  return runs;
}

/** "North side" behind the name of a stand. */
function besideName(scan: Scan, { from, to }: Run): { text: string; sure: boolean } | undefined {
  let begins = from - 1;
  while (begins > 0 && scan.pieces[begins]!.light && scan.pieces[begins]!.is !== 'break') begins--;
  const apart = begins >= 0 && scan.pieces[begins]!.is === 'break';
  const plain = scan.pieces
    .slice(from, to)
    .every(
      ({ light, is, concepts }) => light || (is === 'words' && (concepts.size === 0 || concepts.has('each'))),
    );
  return apart && plain && to - from < 5 ? { text: scan.text(from, to), sure: true } : undefined;
}

const isIdle = (scan: Scan, { from, to }: Run): boolean =>
  scan.pieces
    .slice(from, to)
    .every(({ light, concepts }) => light || /^(?:today|aside)$/.test([...concepts].join()));

/** What is left over is asked about only where it is a word that nobody knows, or one that tells little. */
const costLeft = (pieces: readonly SaidPiece[]): number =>
  pieces.reduce((sum, piece) => {
    if (piece.light) return sum;
    if (tellsMuch(piece)) return sum + 6;
    return sum + (piece.unknown ? 1 : 1.5);
  }, 0);

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
const closesBefore = ({ notes, left }: Part, next: Part | undefined): boolean => {
  const [close, ...others] = notes;
  const [open] = next?.notes ?? [];
  const begins = open?.kind === 'plot' && open.op === 'open';
  return begins && left.length === 0 && others.length === 0 && close?.kind === 'plot' && close.op === 'close';
};

const isPlainHeight = (height: Measurement): boolean =>
  (height.method === 'stick' && height.base === undefined && height.lean === undefined) ||
  (height.method === 'reading' && height.takes.length === 1);

/** Said before what is changed. */
const changesMind =
  /^(?:(?:hm+|well|ok|okay|no|so|and|i|i am|i have|i 've|have) )*(?:changing|changed|change) my mind$/;

/** Why something is taken back is no part of what is kept: "drop the ironwood, it's out". */
function withoutReasons(parts: readonly Part[]): readonly Part[] {
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
function withLastWords(parts: readonly Part[]): readonly Part[] {
  const ends = parts.findIndex(({ notes }) =>
    notes.some((note) => note.kind === 'control' && note.op === 'stop'),
  );
  if (ends < 0) return parts;
  return parts.map((part, at): Part => {
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

/** The best way as what is kept, or asked. */
function candidatesOf(way: Way, text: string): readonly Candidate[] | undefined {
  const parts = withLastWords(withoutReasons(way.parts));
  const all = notesOf(parts);
  if (all === undefined) return undefined;
  const notes = withHeights(saidOnce(all));
  const [first, ...rest] = notes;
  if (first === undefined || notes.length > mostNotes || !isSequence(notes)) return undefined;
  const left = parts.flatMap((part) => part.left);
  const surplus = parts.reduce((sum, part) => sum + part.cost - (part.notes.length > 0 ? 1 : 0), 0);
  const sure = parts.every((part, at) => part.sure || closesBefore(part, parts[at + 1]));
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
  return [{ notes: [first, ...rest], words: text, posterior: sure ? 1 : 0.7 }];
}
