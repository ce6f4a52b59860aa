/**
 * What is put right in ways of its own: the word for it behind ("sixteen point one I mean"), a tree of another plot ("at
 * point two that first ash should be 13.8"), how many there were ("just the one beech"), a tree taken back just now ("it was a
 * basswood, same size"). Typed only.
 */
import type { Note, Which } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { changeDraft } from './compose-mending.ts';
import { scratchDraft } from './compose-scratch.ts';
import { moreDraft } from './compose-trees.ts';
import { type Draft, everyPlace, explain, plainDiameter, plainLength, Scan } from './scan.ts';
import { meantBehind } from './telling.ts';

type Change = Extract<Note, { kind: 'change' }>;

/** What may stand before it. */
const lead =
  /^(?:no|oops|sorry|wait|hang on|hold on|actually|make that|that is|that was|it is|it was|a|an|the|,)$/;

/** "Sixteen point one I mean", "no, basswood I meant". */
export function afterthoughtDraft(scan: Scan): Draft | undefined {
  const at = scan.pieces.findLastIndex(({ is }) => is === 'number' || is === 'species');
  const value = scan.pieces[at];
  if (scan.asked || value === undefined || !meantBehind.test(scan.text(at + 1).replace(/^, ?/, '')))
    return undefined;
  const others = scan.pieces.slice(0, at);
  if (!others.every(({ is, text, light }) => is === 'break' || lead.test(text) || (light && is === 'words')))
    return undefined;
  if (value.is === 'species') return done(scan, { kind: 'change', facts: { species: value.species ?? '' } });
  const { number } = value;
  if (number === undefined || number.sides !== undefined) return undefined;
  if (number.unit === 'paces' || number.unit === 'steps')
    return done(scan, { kind: 'change', distance: { by: number.unit, count: number.value } });
  if (number.unit === 'logs') return done(scan, { kind: 'change', facts: { logs: number.value } });
  const plain = number.unit === undefined || /^(?:in|cm|ft|m|yd|chain)$/.test(number.unit);
  const signed = number.sign === undefined ? number.value : number.sign * number.value;
  return plain
    ? done(scan, { kind: 'change', number: { ...plainLength(number), value: signed } })
    : undefined;
}

const done = (scan: Scan, note: Change): Draft => ({
  notes: [note],
  used: everyPlace(scan),
  against: -0.3,
});

const onOther = /^(?:at|on|in|from|of|over on|over at|back on|back at|back in|for)$/;
const plotWord = /^(?:plot|stop|point|station|sample|circle|pt|pl|plt|plot number|point number)$/;

/** "At point two", "on plot 1": its number, and the stretch without it, with the place of each piece. */
function elsewhere(
  scan: Scan,
): { readonly plot: number; readonly rest: Scan; readonly places: readonly number[] } | undefined {
  const [at, ...more] = scan.of('plot');
  if (at === undefined || more.length > 0 || !plotWord.test(scan.pieces[at - 1]?.text ?? ''))
    return undefined;
  let from = at - 1;
  while (from > 0 && /^(?:the|my)$/.test(scan.pieces[from - 1]!.text)) from--;
  // "Plot one, tree three was a birch": what is told behind the comma is put right.
  const leads = from === 0 && scan.pieces[at + 1]?.is === 'break';
  if (!leads && !onOther.test(scan.pieces[from - 1]?.text ?? '')) return undefined;
  if (!leads) from--;
  // "Back on point two": a phrase or two words.
  while (from > 0 && /^(?:back|over|again)$/.test(scan.pieces[from - 1]!.text)) from--;
  const places = [...scan.pieces.keys()].filter(
    (place) =>
      (place < from || place > at) && !(place === at + 1 && scan.pieces[place]!.is === 'break' && from === 0),
  );
  // "Tree number two": of the tree.
  const own = places.map((place) => scan.pieces[place]!);
  const rest = new Scan(
    own.map((piece) => (piece.text === 'number' ? { ...piece, concepts: new Set<Concept>() } : piece)),
    scan.asked,
  );
  return { plot: scan.number(at).value, rest, places };
}

/** What is told of a tree that is named: "the ash on plot two was dead". */
const ofNamed = (draft: Draft | undefined): Draft | undefined => {
  const [hand, told, ...others] = draft?.notes ?? [];
  if (draft === undefined || hand?.kind !== 'hand' || told === undefined || others.length > 0)
    return undefined;
  const facts = told.kind === 'tree' && told.height === undefined ? told.facts : undefined;
  if (facts === undefined || hand.height !== undefined) return undefined;
  const named = hand.tree === undefined ? { of: hand.which ?? {} } : { tree: hand.tree };
  return { ...draft, notes: [{ kind: 'change', ...named, facts }] };
};

/** A change or a taking back with the plot on which its tree stands; undefined where it names no tree. */
function onPlot(note: Note, plot: number): Note | undefined {
  if (note.kind !== 'change' && note.kind !== 'scratch') return undefined;
  const { of } = note;
  if (of?.said !== undefined || (note.kind === 'change' && note.was !== undefined)) return undefined;
  if (of === undefined && note.tree === undefined) return undefined;
  return { ...note, of: { ...of, plot } };
}

/** "At point 2 that first ash should be 13.8", "tree two on point one isn't beech, it's hornbeam", "scratch the ash on plot 2". */
export function elsewhereDraft(scan: Scan): Draft | undefined {
  if (scan.asked || !scan.has('plot')) return undefined;
  const found = elsewhere(scan);
  if (found === undefined) return undefined;
  const { plot, rest, places } = found;
  const draft = changeDraft(rest) ?? scratchDraft(rest) ?? ofNamed(moreDraft(rest));
  if (draft === undefined || draft.unsure || draft.other !== undefined) return undefined;
  const [first, ...others] = joined(draft.notes).map((note) => onPlot(note, plot));
  if (first === undefined || others.includes(undefined)) return undefined;
  const own = new Set([...draft.used].map((at) => places[at]!));
  return {
    notes: [first, ...(others as Note[])],
    used: new Set([...scan.pieces.keys()].filter((at) => own.has(at) || !places.includes(at))),
    against: draft.against - 0.3,
  };
}

/** A tree that is taken in hand for its change is named by the change: the plot in hand stays. */
function joined(notes: Draft['notes']): readonly Note[] {
  const [hand, change] = notes;
  const which: Which | undefined = hand.kind === 'hand' ? hand.which : undefined;
  return which !== undefined && change?.kind === 'change' && notes.length === 2
    ? [{ ...change, of: which }]
    : notes;
}

/** "Undo that last one, just the one beech", "only one oak": how many there were. */
export function onlyOneDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  const one =
    /\b(?:just|only)(?: (?:the|a|an|that))? one\b/.test(text) || /\b(?:just|only) the single\b/.test(text);
  const [species, ...kinds] = scan.species;
  const sizes = scan.numbers.filter((at) => scan.number(at).value !== 1);
  if (scan.asked || !one || sizes.length > 1 || species === undefined || kinds.length > 0) return undefined;
  const [at] = sizes;
  if (at !== undefined && (at < species || !/^(?:bare|diameter)$/.test(scan.label(at)))) return undefined;
  const size = at === undefined ? {} : { diameter: plainDiameter(scan.number(at)) };
  if (!scan.has('scratch', 'no', 'fix') && scan.pieces.length > 6) return undefined;
  if (scan.has('plot', 'remark', 'ask', 'log', 'tall')) return undefined;
  return {
    notes: [{ kind: 'change', facts: { species: scan.name(species), count: 1, ...size } }],
    used: everyPlace(scan),
    against: -0.4,
  };
}

const soMany =
  /^(?:(?:no|sorry|oops|wait|actually|and|ok|okay|hang on) ?,? ?)*(?:that is|that was|that makes|that should be|it is|it was|it should be|should be|should have been|there are|there were|make that|make it|call it) \S+ [a-z -]+$/;

/** "That's six beech", "should be three ash": so many, or so thick, as the book knows. */
export function soManyDraft(scan: Scan): Draft | undefined {
  const [at, ...numbers] = scan.numbers;
  const [species, ...kinds] = scan.species;
  if (scan.asked || at === undefined || species !== at + 1 || numbers.length + kinds.length > 0)
    return undefined;
  const { value, unit, sign } = scan.number(at);
  const whole =
    unit === undefined && sign === undefined && Number.isInteger(value) && value > 1 && value < 100;
  if (!whole || species !== scan.pieces.length - 1 || !soMany.test(scan.text())) return undefined;
  const facts = scan.pieces[species]!.many ? { count: value } : { diameter: { value } };
  return done(scan, { kind: 'change', facts: { species: scan.name(species), ...facts } });
}

const alike =
  /^(.*?)(?:,? ?(?:but |and |with )?(?:the |at the |of the )?same (?:size|diameter|numbers?|dbh|figures?|everything)(?: as (?:that|it|before|told|said))?|,? ?everything else (?:is |stays )?the same|,? ?(?:the )?rest (?:is |stays )?the same)$/;

/** "It was a basswood, same size": the species alone is another, of the tree that was told or taken back just now. */
export function kindPutRightDraft(scan: Scan): Draft | undefined {
  const [, head] = alike.exec(scan.text()) ?? [];
  const [species, ...kinds] = scan.species;
  if (
    scan.asked ||
    head === undefined ||
    species === undefined ||
    kinds.length > 0 ||
    scan.numbers.length > 0
  )
    return undefined;
  // "Another beech, same size" is a tree more.
  if (
    !/\b(?:it|that|this|that one|this one|tree|one) (?:is|was|should be|ought to be)\b|\bmake (?:it|that)\b|\bi mean\b|\bmeant\b/.test(
      head,
    )
  )
    return undefined;
  if (scan.has('next', 'again') && /\b(?:more|another|also)\b/.test(head)) return undefined;
  return done(scan, { kind: 'change', facts: { species: scan.name(species) }, back: true });
}

const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth'];
const nthOne = new RegExp(
  `\\b(${ordinals.join('|')}) (?:one|tree|stem|of (?:them|those|these|the two|the three))\\b`,
);
const besideNth: readonly Concept[] = [
  'scratch',
  'that',
  'tree',
  'out',
  'off',
  'one',
  'ofThem',
  'next',
  'here',
  'last',
];

/** "Scrap the second one", "lose the first of those": one of the trees that were told last. */
export function scratchNthDraft(scan: Scan): Draft | undefined {
  const word = nthOne.exec(scan.text())?.[1];
  if (scan.asked || word === undefined || !scan.has('scratch')) return undefined;
  if (scan.numbers.length > 0 || scan.species.length > 0 || scan.has('plot', 'tall', 'retake', 'last'))
    return undefined;
  return {
    notes: [{ kind: 'scratch', of: { nth: ordinals.indexOf(word) + 1 } }],
    used: explain(
      scan,
      scan.placesOf(({ is }) => is === 'ordinal'),
      besideNth,
    ),
    against: -0.1,
  };
}
