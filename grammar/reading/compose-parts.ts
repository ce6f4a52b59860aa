/** One stretch of a breath as one thing said: what a draft makes of it, and what it costs with the words that it leaves over. */
import { type Note, noteSchema } from '../../shared/note/note.ts';
import { isCommonWord } from '../pronunciation/unigrams.ts';
import { announced, type OfEach, ofEach } from './compose-lists.ts';
import { pointsElsewhere, remarkOfRun, toldBehind } from './compose-remarks.ts';
import { isFree, isSureWord } from './free-words.ts';
import type { SaidPiece } from './pieces.ts';
import type { Draft, Scan } from './scan.ts';
import { tellsMuch, turnsRound } from './telling.ts';

/** One thing said, with what it costs to read it so. */
export interface SaidPart {
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
  /** A clause of its own that tells nothing which a note has a place for: `seen` where somebody does or sees something. */
  readonly aside?: 'seen' | 'loose';
  /** It has a remark of words that nobody here knows. */
  readonly free?: true;
}

/** Somebody does or sees something: words in no such frame may be a name, or a slip of anything. */
const framed =
  /(?:^| )(?:i|we|my|our|he|she|they|there)(?: |$)|^(?:it|got|getting|having|putting|looks?|looking|feels?|smells?) /;

/** "Got my heeled boots on now": whole by itself, with no number, name, "not" or telling word in it. */
export function asideOf(scan: Scan): 'seen' | 'loose' | undefined {
  const free = scan.pieces.filter((piece) => piece.is === 'words' && !piece.light && isFree(piece));
  const plain =
    !scan.asked &&
    free.length > 0 &&
    free.every(isSureWord) &&
    scan.pieces.every((piece) => !tellsMuch(piece) && !piece.capital && !turnsRound.test(piece.text));
  if (!plain) return undefined;
  // "We shift to the next" points to something else.
  if (scan.pieces.some(({ text }) => pointsElsewhere.test(text))) return undefined;
  if (framed.test(scan.text())) return 'seen';
  return free.some(({ text }) => isCommonWord(text)) ? 'loose' : undefined;
}

/** What a part costs that leaves words over: two things understood go before one with a word that is not. */
const leavingOver = 0.5;

/** What is told of several trees at once, where it is cheaper than what it may be else. */
export function ofTrees(scan: Scan, best: SaidPart | undefined): SaidPart | undefined {
  const announces = announced(scan);
  if (announces !== undefined) return { notes: [], cost: 0.4, sure: true, left: [], announces };
  const each = ofEach(scan);
  if (each === undefined || runsLeft(scan, each.used).length > 0) return best;
  return { notes: [], cost: 0.7, sure: each.sure, left: [], each };
}

/** What a draft costs with the words that it leaves over. */
export function partOfDraft(scan: Scan, draft: Draft): SaidPart | undefined {
  const all = [...draft.notes, ...(draft.other ?? [])];
  if (all.some((note) => !noteSchema.safeParse(note).success)) return undefined;
  const runs = runsLeft(scan, draft.used);
  if (leavesReason(scan, draft, runs)) return undefined;
  const { left, remarks, free, ...beside } = besideDraft(scan, draft, runs);
  let cost = 1 + 0.05 * (draft.notes.length - 1) + draft.against + beside.cost;
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
    sure: draft.unsure !== true && beside.sure && left.length === 0,
    left,
    ...(free ? { free } : {}),
  };
}

/** What stands in a stretch beside what a draft uses: told of it, or left over. */
interface Beside {
  readonly remarks: readonly Note[];
  readonly left: readonly string[];
  readonly cost: number;
  readonly sure: boolean;
  /** A remark is of words that nobody here knows. */
  readonly free: boolean;
}

function besideDraft(scan: Scan, draft: Draft, runs: readonly Run[]): Beside {
  const told = toldBy(draft);
  const left: string[] = [];
  const remarks = new Set<string>();
  let [cost, sure, free] = [0, true, false];
  for (const run of runs) {
    // "Today" says of a note what its time says.
    if (isIdle(scan, run)) continue;
    const known = told(scan, run);
    const behind = draft.unsure !== true && isMeasured(draft) ? toldBehind(scan, run, draft.used) : undefined;
    const longer = (behind?.text.length ?? 0) > (known?.text.length ?? 0);
    const remark = known?.sure === true && !longer ? known : (behind ?? known);
    if (remark === undefined) {
      left.push(scan.text(run.from, run.to));
      cost += costLeft(scan.pieces.slice(run.from, run.to));
      continue;
    }
    remarks.add(remark.text);
    cost += 0.3;
    sure &&= remark.sure;
    free ||= remark === behind;
  }
  // A clause that is told as a whole has its parts in it.
  const whole = [...remarks].filter(
    (text) => ![...remarks].some((one) => one !== text && one.includes(text)),
  );
  return { remarks: whole.map((text): Note => ({ kind: 'remark', text })), left, cost, sure, free };
}

/** What words beside a draft may tell: of its tree, or of its place. */
function toldBy({
  notes,
  other,
}: Draft): (scan: Scan, run: Run) => { text: string; sure: boolean } | undefined {
  const ofTree = other === undefined && notes.some(({ kind }) => kind === 'tree' || kind === 'hand');
  const ofPlace = notes.every(
    (note) =>
      note.kind === 'stand' || note.kind === 'stratum' || (note.kind === 'plot' && note.op === 'empty'),
  );
  return ofTree ? remarkOfRun : ofPlace ? besideName : () => undefined;
}

/** One tree with its kind and a size: what stands behind is told of it. */
const isMeasured = ({ notes: [note, ...others], other }: Draft): boolean =>
  other === undefined &&
  note.kind === 'tree' &&
  note.facts.species !== undefined &&
  (note.facts.diameter !== undefined || note.height !== undefined) &&
  others.every(({ kind }) => kind === 'height');

/** Why something is taken back stands in a clause of its own. */
function leavesReason({ pieces }: Scan, { notes }: Draft, runs: readonly Run[]): boolean {
  const end = pieces.findIndex(({ is }) => is === 'break');
  return notes.some(({ kind }) => kind === 'scratch') && end >= 0 && runs.some(({ from }) => from > end);
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
