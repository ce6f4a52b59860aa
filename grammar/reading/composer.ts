/**
 * Reads typed words that stand in no sentence of the description: pieces that mean something (numbers with their units,
 * names, words of which it is known what they speak of) are put together to notes, whatever their order. A breath is cut
 * where the notes fit best. What tells something is never dropped: it is read only where every number and every telling
 * word has its place, and asked about where some words have none.
 */
import type { Candidate, Note } from '../../shared/note/note.ts';
import { normalise } from '../description/normalise.ts';
import type { Syntax } from '../description/syntax.ts';
import { hasLongName, isCountOnly } from './another-look.ts';
import { askedMoreDraft, ofStandDraft, severalSumsDraft } from './compose-asked-more.ts';
import { askDraft } from './compose-asking.ts';
import { bookAskedDraft } from './compose-book-asked.ts';
import { borderDraft, countedInDraft, verdictDraft } from './compose-borderline.ts';
import { type BreathWay, candidatesOf } from './compose-breath.ts';
import { bordersOf, prepared, trimmed } from './compose-clauses.ts';
import { dateDraft, isWeatherTalk, laterDayDraft, pauseDraft, takeAwayDraft } from './compose-day.ts';
import { aspectDraft, closeDraft } from './compose-ground.ts';
import { headedDraft } from './compose-heads.ts';
import { heightPartDraft } from './compose-height-parts.ts';
import { heightDraft } from './compose-heights.ts';
import { bareLegDraft, scatterDraft } from './compose-legs.ts';
import { rowDraft } from './compose-lists.ts';
import { changeDraft } from './compose-mending.ts';
import { noHeightDraft } from './compose-no-height.ts';
import { asideOf, ofTrees, partOfDraft, type SaidPart } from './compose-parts.ts';
import { personDraft, settingDraft, statureDraft } from './compose-people.ts';
import { isInDraft, pickDraft } from './compose-picks.ts';
import { controlDraft, standDraft } from './compose-places.ts';
import { leastDraft, planDraft } from './compose-plans.ts';
import { closesInPassing, closesPlot, plotDraft } from './compose-plots.ts';
import { meantDraft, readingChangeDraft, saidChangeDraft, swapDraft } from './compose-pointing.ts';
import {
  bordersDraft,
  countDraft,
  doneByDraft,
  halfDraft,
  onBorderDraft,
  speciesCountDraft,
} from './compose-points.ts';
import { priceDraft } from './compose-prices.ts';
import {
  afterthoughtDraft,
  elsewhereDraft,
  kindPutRightDraft,
  onlyOneDraft,
  scratchNthDraft,
  soManyDraft,
} from './compose-put-right.ts';
import { redoDraft, togetherDraft } from './compose-redo.ts';
import { redoneDraft } from './compose-redone.ts';
import { regionDraft } from './compose-region.ts';
import { remarkDraft } from './compose-remarks.ts';
import { repliesDraft } from './compose-replies.ts';
import { backDraft, dayEndDraft, rolesDraft } from './compose-roles.ts';
import { sameButDraft, sameSizeDraft } from './compose-same.ts';
import { restoreDraft, scratchDraft } from './compose-scratch.ts';
import { circleDraft, dayDraft, doesItCountDraft, eachKindDraft, soFarDraft } from './compose-series.ts';
import { anglesDraft } from './compose-sights.ts';
import { partDraft } from './compose-some.ts';
import { knownStandDraft, numberedStandDraft } from './compose-stands.ts';
import { footDraft, stoodDraft } from './compose-stood.ts';
import { perhapsDraft, repaceDraft, retakeDraft, unmarkDraft, vagueDraft } from './compose-takes.ts';
import {
  aroundDraft,
  doneWithDraft,
  hasDraft,
  judgedDraft,
  logsToldDraft,
  partOfTreeDraft,
} from './compose-told.ts';
import { handDraft, moreDraft, treeDraft, unknownKindDraft } from './compose-trees.ts';
import { reachDraft, walkDraft } from './compose-walks.ts';
import type { Reader } from './exact.ts';
import { PieceReader, type Pieces, type SaidPiece } from './pieces.ts';
import { isTyped } from './plainly.ts';
import { isPlausible, leftOutOf } from './plausible.ts';
import { offered } from './reading.ts';
import { Scan } from './scan.ts';
import { tearing } from './torn-numbers.ts';

/** Clauses of a breath, and of one note. */
const mostClauses = 14;
const longest = 6;

const drafters = [
  verdictDraft,
  countedInDraft,
  borderDraft,
  afterthoughtDraft,
  elsewhereDraft,
  onlyOneDraft,
  kindPutRightDraft,
  scratchNthDraft,
  soManyDraft,
  askedMoreDraft,
  ofStandDraft,
  severalSumsDraft,
  priceDraft,
  pickDraft,
  isInDraft,
  soFarDraft,
  circleDraft,
  doesItCountDraft,
  eachKindDraft,
  sameSizeDraft,
  sameButDraft,
  dayDraft,
  bookAskedDraft,
  askDraft,
  repliesDraft,
  controlDraft,
  repaceDraft,
  redoDraft,
  togetherDraft,
  perhapsDraft,
  vagueDraft,
  retakeDraft,
  unmarkDraft,
  scratchDraft,
  restoreDraft,
  remarkDraft,
  aroundDraft,
  partOfTreeDraft,
  judgedDraft,
  logsToldDraft,
  hasDraft,
  doneWithDraft,
  rolesDraft,
  backDraft,
  dayEndDraft,
  laterDayDraft,
  dateDraft,
  pauseDraft,
  takeAwayDraft,
  personDraft,
  regionDraft,
  walkDraft,
  reachDraft,
  settingDraft,
  statureDraft,
  standDraft,
  numberedStandDraft,
  knownStandDraft,
  planDraft,
  leastDraft,
  aspectDraft,
  closeDraft,
  plotDraft,
  countDraft,
  doneByDraft,
  halfDraft,
  speciesCountDraft,
  bordersDraft,
  partDraft,
  onBorderDraft,
  swapDraft,
  meantDraft,
  readingChangeDraft,
  saidChangeDraft,
  changeDraft,
  rowDraft,
  treeDraft,
  unknownKindDraft,
  moreDraft,
  handDraft,
  heightDraft,
  headedDraft,
  noHeightDraft,
  stoodDraft,
  footDraft,
  redoneDraft,
  anglesDraft,
  heightPartDraft,
  bareLegDraft,
  scatterDraft,
] as const;

/** They know notes of words that carry nothing by themselves. */
const toldByLight = [verdictDraft, redoDraft, rolesDraft, backDraft, pauseDraft] as const;

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

/** What a clause that tells nothing costs: a remark. */
const asideCost = { seen: 1.3, loose: 1.45 } as const;

const neverOneWord: ReadonlySet<Note['kind']> = new Set(['control', 'scratch', 'next', 'undo']);

export class Composer {
  private readonly reading: PieceReader;
  private last: { readonly text: string; readonly pieces: Pieces } | undefined;

  constructor(
    trees: Syntax,
    private readonly reader: Reader,
  ) {
    this.reading = new PieceReader(trees, new Set(reader.automaton.words));
  }

  /** What the words may mean; undefined where they cannot be put together. */
  read(text: string): readonly Candidate[] | undefined {
    const said = this.piecesOf(text);
    if (said === undefined) return undefined;
    const { pieces, asked } = prepared(said);
    const borders = bordersOf(pieces);
    if (pieces.length === 0 || borders.length - 1 > mostClauses) return undefined;
    const way = this.bestWay(pieces, borders, asked);
    const found = way === undefined ? undefined : candidatesOf(way, text);
    const [only] = found ?? [];
    if (only?.posterior !== 1) return found;
    const { notes } = only;
    // A mess that happens to hold a note is offered.
    const isMeant = isPlausible(text, said.pieces, notes) && leftOutOf(pieces, notes) === undefined;
    return isMeant ? found : [{ ...only, posterior: offered }];
  }

  /** True where nothing is said but what stands around notes: greetings, thanks, "bear with me". */
  isTalk(text: string): boolean {
    const said = this.piecesOf(text)?.pieces.filter(({ is }) => is !== 'break') ?? [];
    const talk = said.some(
      ({ concepts, text: word }) => concepts.has('talk') || /^(?:thanks|cheers|ta)$/.test(word),
    );
    return talk && said.every(({ light, concepts }) => light || concepts.has('talk'));
  }

  /** What was said as one stretch, and the words that nobody here knows; undefined where signs stand in it that nobody types. */
  asSaid(text: string): { readonly scan: Scan; readonly unknown: readonly string[] } | undefined {
    const said = this.piecesOf(text);
    if (said === undefined) return undefined;
    const unknown = said.pieces.filter((piece) => piece.unknown).map(({ text: word }) => word);
    return { scan: new Scan(said.pieces, said.asked), unknown: [...new Set(unknown)] };
  }

  /** The pieces of a text; undefined where signs stand in it that nobody types. Several readers ask for those of one note. */
  piecesOf(text: string): Pieces | undefined {
    if (!isTyped(text)) return undefined;
    if (this.last?.text !== text) this.last = { text, pieces: this.reading.read(text) };
    return this.last.pieces;
  }

  private bestWay(
    pieces: readonly SaidPiece[],
    borders: readonly number[],
    asked: boolean,
  ): BreathWay | undefined {
    const ways: (BreathWay | undefined)[] = [{ parts: [], cost: 0 }];
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
  private partOf(pieces: readonly SaidPiece[], asked: boolean): SaidPart | undefined {
    const telling = pieces.filter(({ light, is }) => !light && is !== 'break');
    const scan = new Scan(pieces, asked);
    // "Let me take it again" is told by words that carry nothing by themselves.
    if (
      telling.every(({ concepts }) => concepts.has('talk') || concepts.has('today')) &&
      toldByLight.every((drafter) => drafter(scan) === undefined) &&
      !closesPlot(scan)
    )
      return { notes: [], cost: 0.1, sure: true, left: [] };
    if (changesMind.test(scan.text())) return { notes: [], cost: 0.3, sure: true, left: [] };
    // How trees are taken is told of the plot.
    if (onlyCounts.test(scan.text()))
      return { notes: [{ kind: 'remark', text: scan.text() }], cost: 0.9, sure: true, left: [] };
    if (isWeatherTalk(scan))
      return { notes: [], cost: 1.3, sure: false, left: [scan.text()], harmless: true, aside: 'seen' };
    const exact = this.behindNo(pieces) ?? this.exactly(scan);
    let best = exact;
    const closes = closesInPassing(scan);
    for (const drafter of drafters) {
      const draft = drafter(scan);
      if (draft === undefined || (closes && !draft.notes.some(isClosing))) continue;
      const part = partOfDraft(scan, draft);
      if (part !== undefined && (best === undefined || part.cost < best.cost)) best = part;
    }
    best = ofTrees(scan, best);
    const unknown = telling.every((piece) => piece.unknown);
    if (best === undefined && pieces.filter(({ is }) => is === 'break').length === 0) {
      // Nothing of it is understood: it is left over as a whole, dearer where it tells something.
      const left = [scan.text()];
      const aside = asideOf(scan);
      const harmless = scan.numbers.length === 0 && scan.species.length === 0 && !scan.has('no', 'fix');
      return {
        notes: [],
        cost: aside === undefined ? (unknown ? 1.5 : 6) + telling.length : asideCost[aside],
        sure: false,
        left,
        harmless,
        ...(aside === undefined ? {} : { aside }),
      };
    }
    return best;
  }

  /** "No, base one metre below me", "no, four pines": a "no" before what puts right what was said is no answer by itself. */
  private behindNo([no, ...behind]: readonly SaidPiece[]): SaidPart | undefined {
    if (no?.text !== 'no' || behind[0]?.is !== 'break') return undefined;
    const part = this.exactPart(normalise(new Scan(trimmed(behind)).text()), true, false);
    const [note, ...more] = part?.notes ?? [];
    if (part === undefined || note === undefined || more.length > 0 || part.other !== undefined)
      return undefined;
    if (note.kind === 'change') return { ...part, cost: 0.9 };
    return isCountOnly(note)
      ? { ...part, notes: [{ kind: 'change', facts: note.facts }], cost: 0.9 }
      : undefined;
  }

  /** Word for word, without light words where they stand in the way. */
  private exactly(scan: Scan): SaidPart | undefined {
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
    const untorn = (part: SaidPart | undefined): SaidPart | undefined =>
      part !== undefined && tears?.(part.notes) === true ? undefined : part;
    return (
      untorn(this.exactPart(whole, true, accented)) ??
      (lighter === whole ? undefined : untorn(this.exactPart(lighter, false, accented)))
    );
  }

  /** `accented`: a name of it has accents, which are lost word for word. */
  private exactPart(text: string, whole: boolean, accented: boolean): SaidPart | undefined {
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

const isClosing = (note: Note): boolean =>
  (note.kind === 'plot' && note.op === 'close') || (note.kind === 'stand' && note.done === true);

/** "We do not measure, only count". */
const onlyCounts =
  /^(?:(?:we|i) (?:do|are|will) not (?:measure|measuring|tape|taping)(?: (?:them|here|anything))*(?:,? )?)?(?:(?:we|i) )?(?:just|only) (?:count|counting|tally|tallying)(?: (?:them|here|trees))*$/;

/** Said before what is changed. */
const changesMind =
  /^(?:(?:hm+|well|ok|okay|no|so|and|i|i am|i have|i 've|have) )*(?:changing|changed|change) my mind$/;
