/** Two trees that are swapped, and what was said of one tree and meant of another. What is pointed at by its place is `compose-targets.ts`. */
import type { Note, NoteOf, Which } from '../../shared/note/note.ts';
import { isDefinite } from './compose-targets.ts';
import type { SaidPiece } from './pieces.ts';
import { type Draft, everyPlace, plainLength, type Scan } from './scan.ts';

type Change = NoteOf<'change'>;

const swapping = /\b(?:swap|switch|reverse|flip|exchange|interchange)(?:ped|ed|d|ping|ing)?\b/;
const wrongWay =
  /\b(?:mixed up|muddled(?: up)?|crossed(?: over)?|backwards|back to front|swapped|switched|reversed|(?:the )?wrong way (?:round|around|about)|other way (?:round|around|about))\b/;
const pairOf =
  /\b(?:those two|these two|the two of them|the two|those last two|the last two|last two|both of them|both|them|they|two)\b/;
const partOf = [
  ['height', /\b(?:heights?|hts?|readings?|shots?)\b/],
  ['diameter', /\b(?:diameters?|dbhs?|diams?|girths?|sizes)\b/],
  ['species', /\b(?:species|names?|kinds?)\b/],
] as const;
/** What may stand round it. */
const besideSwap =
  /^(?:i|we|you|have|had|has|got|get|put|told|gave|said|called|wrote|typed|think|please|can|could|need|to|should|let|us|me|just|oops|sorry|no|hang on|hold on|wait|ok|okay|are|were|is|was|the|of|on|for|between|and|round|around|over|up|last|those|these|those two|these two|the two of them|both readings|both heights|both trees|both|them|they|two|trees?|of those two|of these two|one|for me|in|my|them all|about|way|other|wrong|mixed|muddled|crossed|backwards|back|front|down)$/;

/** "Swap those two", "I got the last two mixed up", "swap the heights of trees two and three". */
export function swapDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  if (scan.asked || scan.has('scratch', 'restore', 'ask', 'plot', 'remark', 'stand')) return undefined;
  if (scan.pieces.some(({ capital, unknown }) => capital && unknown)) return undefined;
  if (!swapping.test(text) && !wrongWay.test(text)) return undefined;
  const pair = pairSaid(scan, text);
  if (pair === undefined) return undefined;
  const what = partOf.find(([, words]) => words.test(text))?.[0];
  const known = ({ is, text: words }: SaidPiece): boolean =>
    is !== 'words' ||
    besideSwap.test(words) ||
    swapping.test(words) ||
    wrongWay.test(words) ||
    partOf.some(([, of]) => of.test(words)) ||
    words.split(' ').every((one) => besideSwap.test(one));
  return {
    notes: [{ kind: 'change', swap: { ...(what === undefined ? {} : { what }), ...pair } }],
    used: new Set(scan.placesOf(known)),
    against: -0.3,
    // "Two and three" are hardly anything but trees; nobody said so.
    ...(pair.trees !== undefined && !/\btrees?\b/.test(text) ? { unsure: true } : {}),
  };
}

type Pair = Pick<NonNullable<Change['swap']>, 'trees' | 'kinds'>;

/** The two that are named, or none for the last two; undefined where no two are told of. */
function pairSaid(scan: Scan, text: string): Pair | undefined {
  const [one, two, ...more] = scan.numbers.filter((at) => !isLastTwo(scan, at));
  const [kind, other, ...others] = scan.species;
  if (more.length > 0 || others.length > 0) return undefined;
  if (one !== undefined && two !== undefined && kind === undefined) {
    const [a, b] = [scan.number(one), scan.number(two)];
    const plain = [a, b].every(({ unit, value }) => unit === undefined && Number.isInteger(value));
    return plain && (/\btrees?\b/.test(text) || wrongWay.test(text))
      ? { trees: [a.value, b.value] }
      : undefined;
  }
  if (one !== undefined) return undefined;
  if (kind !== undefined)
    return other === undefined || /\b(?:for|with|to|by|into)\b/.test(scan.text(kind, other))
      ? undefined
      : { kinds: [scan.name(kind), scan.name(other)] };
  return pairOf.test(text) ? {} : undefined;
}

const isLastTwo = (scan: Scan, at: number): boolean => {
  const { value, unit } = scan.number(at);
  return (
    value === 2 && unit === undefined && /^(?:last|those|these|the)$/.test(scan.pieces[at - 1]?.text ?? '')
  );
};

/** A tree by its kind with "the", by its size, or by its number; where it begins and ends. */
interface Pointed {
  readonly from: number;
  readonly to: number;
  readonly tree?: number;
  readonly which?: Which;
}

function pointedAt(scan: Scan, at: number): Pointed | undefined {
  const { is, text } = scan.pieces[at] ?? {};
  const next = scan.pieces[at + 1];
  const one = (place: number): number =>
    /^(?:one|tree)$/.test(scan.pieces[place]?.text ?? '') ? place + 1 : place;
  if (text === 'tree' && next?.number !== undefined && Number.isInteger(next.number.value))
    return { from: at, to: at + 2, tree: next.number.value };
  if (is !== 'words' || !isDefinite(text)) return undefined;
  if (next?.is === 'species') return { from: at, to: one(at + 2), which: { species: next.species! } };
  if (next?.is === 'ordinal' && next.ordinal !== undefined && one(at + 2) > at + 2)
    return { from: at, to: at + 3, which: { nth: next.ordinal } };
  const unit = next?.number?.unit;
  const size =
    next?.number !== undefined &&
    next.number.sign === undefined &&
    (unit === undefined || unit === 'in' || unit === 'cm');
  return size ? { from: at, to: one(at + 2), which: { diameter: next.number.value } } : undefined;
}

const meaning =
  /^(?:i meant|meant|i mean|meant to say|i meant to say|was for|is for|was meant for|that was for|goes with|goes to|belongs to)$/;
const besideMeant =
  /^(?:no|nope|sorry|oops|wait|hang on|hold on|that|it|this|was|is|i|we|you|but|for|of|about|actually|meant|talking|speaking|was talking|to|say|oh|ah|hm|well|not)$/;

/** "Not the pine, the hemlock", "the hemlock, not the pine", "I meant tree two", "that was for the hemlock". */
export function meantDraft(scan: Scan): Draft | undefined {
  if (
    scan.asked ||
    scan.has('scratch', 'restore', 'ask', 'plot', 'remark', 'stand') ||
    (scan.has('person') && !/\b(?:talking|speaking) (?:about|of)\b/.test(scan.text()))
  )
    return undefined;
  const found = [...scan.pieces.keys()].flatMap((at) => pointedAt(scan, at) ?? []);
  const [one, two, ...more] = found;
  if (one === undefined || more.length > 0) return undefined;
  const within = (at: number): boolean => found.some(({ from, to }) => at >= from && at < to);
  const rest = scan.pieces.flatMap((piece, at) =>
    within(at) || piece.is === 'break' ? [] : [{ piece, at }],
  );
  if (
    !rest.every(
      ({ piece: { text, is } }) =>
        is === 'words' &&
        (besideMeant.test(text) ||
          meaning.test(text) ||
          text.split(' ').every((word) => besideMeant.test(word))),
    )
  )
    return undefined;
  const nots = rest.filter(({ piece }) => piece.text === 'not').map(({ at }) => at);
  const draft = (meant: Pointed, not: Pointed | undefined): Draft => ({
    notes: [changeTo(meant, not)],
    used: everyPlace(scan),
    against: -0.1,
  });
  if (two === undefined) {
    const means =
      rest.some(({ piece }) => meaning.test(piece.text)) ||
      /\b(?:i meant|meant|was for|is for|talking about|speaking of)\b/.test(scan.text());
    return means && nots.length === 0 && one.to === scan.pieces.length ? draft(one, undefined) : undefined;
  }
  const [not, ...others] = nots;
  if (not === undefined || others.length > 0 || sameKind(one, two) === false) return undefined;
  if (not < one.from) return draft(two, one);
  return not < two.from && not >= one.to ? draft(one, two) : undefined;
}

/** Both by their kind, both by their size, or both by their number. */
const sameKind = (one: Pointed, two: Pointed): boolean =>
  (one.tree === undefined) === (two.tree === undefined) &&
  (one.which?.diameter === undefined) === (two.which?.diameter === undefined);

function changeTo(meant: Pointed, not: Pointed | undefined): Note {
  return {
    kind: 'change',
    ...(not?.tree === undefined ? {} : { tree: not.tree }),
    ...(not?.which === undefined ? {} : { of: not.which }),
    meant: meant.tree === undefined ? { which: meant.which ?? {} } : { tree: meant.tree },
  };
}

// Single words only: of a phrase beside its own words a long text could be split in too many ways.
const becomes =
  "(?:was|were|is|'s|make|should|have|been|say|read|ought|to|into|it|that|a|an|be|really|actually|only|just|up|down|,|more|like|meant|supposed)";
/** "I said 10 paces but it was 9". */
const saidBut = new RegExp(
  `^(?:(?:no|sorry|oops|wait|hang on|hold on|ok|okay|and|so|well) ?,? ?)*i (?:said|wrote|typed|had|put|gave|told you)(?: the| it was)? N ?,? (?:but|when|and|it|actually|though)(?: ?${becomes})+ N$`,
);
const saidWas = new RegExp(
  `^(?:(?:no|sorry|oops|wait|actually|hang on|hold on|ok|okay|i think|and|so|well) ?,? ?)*(?:(?:correct|change|fix|make|mend|edit|turn|bump|put|swap)(?: up| down)? )?(?:the|that|my) N(?: one| tree)?(?: ?${becomes})+ N$`,
);

/** "The 22 was a 20", "correct the eighteen, it was sixteen", "the twelve was 13 paces": what it is of, only the book knows. */
export function saidChangeDraft(scan: Scan): Draft | undefined {
  const [from, to, ...more] = scan.numbers;
  if (scan.asked || from === undefined || to === undefined || more.length > 0 || scan.species.length > 0)
    return undefined;
  const coded = scan.text().replaceAll(scan.pieces[to]!.text, 'N').replace(scan.pieces[from]!.text, 'N');
  const [was, is] = [scan.number(from), scan.number(to)];
  const walked = is.unit === 'paces' || is.unit === 'steps' ? is.unit : undefined;
  const counted =
    was.unit === undefined || was.unit === is.unit || (is.unit === undefined && was.unit !== 'ft');
  if (
    !(saidWas.test(coded) || saidBut.test(coded)) ||
    !counted ||
    was.sign !== undefined ||
    is.sign !== undefined
  )
    return undefined;
  if (is.unit !== undefined && walked === undefined && is.unit !== 'in' && is.unit !== 'cm') return undefined;
  const by = walked ?? (was.unit === 'paces' || was.unit === 'steps' ? was.unit : undefined);
  const value = by === undefined ? { number: plainLength(is) } : { distance: { by, count: is.value } };
  return {
    // What I said is what I said last.
    notes: [
      {
        kind: 'change',
        ...(saidBut.test(coded) ? { was: was.value } : { of: { said: was.value } }),
        ...value,
      },
    ],
    used: everyPlace(scan),
    against: -0.3,
  };
}

const ofReading =
  /^(?:(?:no|sorry|oops|wait|actually|hang on) ?,? ?)*(?:the |that |my )?(first|second|third|fourth|fifth|middle) (?:reading|shot|height|take|go|try|measurement|one of (?:the|those) (?:readings|shots)) (?:was|is|'s|should be|should have been|ought to be|was really|was actually) (?:a |an |really |actually )*\S+$/;
const ordinalWords = ['first', 'second', 'third', 'fourth', 'fifth'];

/** "The second reading was 15": one of several readings of the tree in hand, with its number. */
export function readingChangeDraft(scan: Scan): Draft | undefined {
  const [at, ...more] = scan.numbers;
  if (scan.asked || at === undefined || more.length > 0 || scan.species.length > 0) return undefined;
  const { unit } = scan.number(at);
  const word = ofReading.exec(`${scan.text(0, at)} n`)?.[1];
  if (word === undefined || at !== scan.pieces.length - 1) return undefined;
  const nth = word === 'middle' ? ('middle' as const) : ordinalWords.indexOf(word) + 1;
  const said = plainLength(scan.number(at));
  const value =
    unit === 'paces' || unit === 'steps'
      ? { distance: { by: unit, count: said.value } as const }
      : { number: said };
  return { notes: [{ kind: 'change', nth, ...value }], used: everyPlace(scan), against: -0.2 };
}
