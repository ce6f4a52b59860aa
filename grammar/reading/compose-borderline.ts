/**
 * A tree near the border of its plot: whether it counts there, by its size and how far it stands, and what becomes of it:
 * "okay, count it", "leave it out". Typed only.
 */
import type { Note } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { factsOf } from './compose-facts.ts';
import type { Quantity } from './said-numbers.ts';
import { type Draft, everyPlace, explain, plainDiameter, plainLength, Scan } from './scan.ts';

/** What says how a height is measured, or is told of a plot: then the distance is of that. */
const ofSomethingElse: readonly Concept[] = [
  'top',
  'tall',
  'stick',
  'pole',
  'shadow',
  'arm',
  'eye',
  'factor',
  'radius',
  'fixed',
  'scratch',
  'restore',
  'remark',
  'log',
];
const beside: readonly Concept[] = [
  'borderline',
  'in',
  'out',
  'ask',
  'helpAsked',
  'dbh',
  'tape',
  'distance',
  'off',
  'that',
  'one',
  'tree',
  'close',
  'counted',
  'howMany',
  'to',
  'not',
  'has',
  'here',
  'walk',
  'plot',
  'angle',
  'guess',
  'sure',
  'limit',
  'next',
];
/** "I can't tell", "is it in", "does it count", "it's close": it may be in or out. */
const isOpen =
  /\b(?:in or out|can not (?:tell|say|decide)|not sure (?:if|whether)|close (?:one|call|to the (?:line|edge|border))|touch and go)\b|\b(?:is|are|was|does|do|would|will|could|whether|if) (?:it|that|this|that one|this one|he|she|the [a-z' ]+|an? [a-z' ]+)(?: be)? (?:in|out|count|counts|counted)\b/;
const edgeWords =
  /^(?:centre|center|middle|pith|face|bark|edge|border|boundary|rim|call|tight|touch|decide)$/;
const toCentre = /\bto (?:the |its )?(?:centre|center|middle|pith)\b/;
const toFace = /\bto (?:the |its )?(?:near |front )?(?:face|bark|side)\b/;

/** "There's a beech borderline, nine inches at 24 foot 2, is it in", "is that in, larch 30 at 8.1 metres". */
export function borderDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  if (scan.has(...ofSomethingElse) || !(scan.has('borderline') || isOpen.test(text))) return undefined;
  const [told, ...others] = scan.of('distance');
  // "Got one on the line" tells no size.
  const isOne = (at: number): boolean =>
    scan.pieces[at]!.text === 'one' && scan.pieces[at + 1]?.concepts.has('borderline') === true;
  const sizes = scan.of('diameter', 'bare', 'girth').filter((at) => !isOne(at));
  // "White oak 13 inches, thirty five nine": how far, in feet and inches or as it is; it is asked.
  const bare =
    told === undefined && sizes.length === 2 && scan.label(sizes[1]!) === 'bare' ? sizes[1] : undefined;
  const far = told ?? bare;
  const [thick, ...more] = sizes.filter((at) => at !== bare);
  const [species, ...kinds] = scan.species;
  if (far === undefined || others.length + more.length + kinds.length > 0 || scan.isWalked(far))
    return undefined;
  if (scan.numbers.some((at) => at !== far && at !== thick && !isOne(at))) return undefined;
  const girth = thick !== undefined && scan.label(thick) === 'girth' ? { girth: true as const } : {};
  // "Another on the edge": which one is told elsewhere.
  if (scan.has('next') && (species === undefined || thick === undefined)) return undefined;
  const facts = {
    ...kindOf(scan, species),
    ...(thick === undefined ? {} : { diameter: { ...plainDiameter(scan.number(thick)), ...girth } }),
  };
  const to = toFace.test(text) ? 'face' : toCentre.test(text) ? 'centre' : undefined;
  const note: Note = {
    kind: 'borderline',
    ...(Object.keys(facts).length === 0 ? {} : { facts }),
    distance: tapedLength(scan.number(far)),
    ...(to === undefined ? {} : { to }),
  };
  const words = scan.placesOf(({ text: word }) => edgeWords.test(word));
  return {
    notes: [note],
    used: explain(
      scan,
      [...scan.numbers, ...scan.species, ...words],
      girth.girth ? [...beside, 'girth'] : beside,
    ),
    against: -0.1,
    ...(bare === undefined ? {} : { unsure: true }),
  };
}

/** "Thirty five nine" is feet and inches of a distance by the tape. */
const tapedLength = (said: Quantity): ReturnType<typeof plainLength> =>
  said.pair !== undefined && said.unit === undefined && said.pair[1] < 12
    ? { value: said.pair[0] + said.pair[1] / 12, unit: 'ft' }
    : plainLength(said);

const before =
  '(?:(?:ok|okay|yes|yeah|yep|no|nope|right|well|fine|alright|then|so|good|and|hm+|just|actually|i think|i guess|we|i|let us|sorry) ?,? ?)*(?:i will |i would |we will |i am going to |we can |you can )?';
const behind =
  '(?: ?,? ?(?:then|anyway|for now|too|all the same|after all|please|altogether|this time|will you|thanks))*';
const thing = '(?:it|that|that one|this|this one|that tree|this tree|him|her|the tree)';
const counting = new RegExp(
  `^${before}(?:count|have|take|include|tally|call) ${thing}(?: in)?${behind}$|^${before}keep ${thing} in${behind}$|^${before}(?:${thing} (?:is|'s)|count ${thing} as) in${behind}$`,
);
const leaving = new RegExp(
  `^${before}(?:leave|keep|count) ${thing} out${behind}$|^${before}(?:do not|not) (?:count|counting|take|taking|include|including|tally|bother with|want) ${thing}${behind}$|^${before}(?:leave|skip) ${thing} (?:be|alone)${behind}$`,
);
const tossing = new RegExp(
  `^${before}(?:lose|kill|toss|ditch|bin|dump|scrap|drop|chuck|nix) ${thing}(?: out)?${behind}$`,
);
const skipping = new RegExp(`^${before}(?:skip|forget about|pass on|never mind) ${thing}${behind}$`);

/** "Okay count it", "I'll have it": a tree on the border is in, or what was doubted is kept. */
export function verdictDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  const text = scan.text();
  const done = (note: Note): Draft => ({ notes: [note], used: everyPlace(scan), against: -0.6 });
  if (tossing.test(text))
    return done(/ tree\b/.test(text) ? { kind: 'scratch', what: 'tree' } : { kind: 'scratch' });
  if (leaving.test(text)) return done({ kind: 'scratch', leave: true });
  if (skipping.test(text)) return done({ kind: 'answer', answer: 'dismiss' });
  return counting.test(text) ? done({ kind: 'tree', facts: { border: 'in' } }) : undefined;
}

/** "Okay count it, no log", "right, I'll have it, sitka forty four": in, and what else is told of it. */
export function countedInDraft(scan: Scan): Draft | undefined {
  if (scan.asked) return undefined;
  const ends = scan.placesOf(({ is }) => is === 'break');
  const end = ends.findLast((at) => counting.test(scan.text(0, at)));
  if (end === undefined) return undefined;
  const rest = new Scan(scan.pieces.slice(end + 1));
  const [species, ...others] = rest.species;
  const found = factsOf(rest, new Set());
  if (found === undefined || found.unsure || found.more.length + others.length > 0 || found.counted)
    return undefined;
  const facts = { border: 'in' as const, ...found.facts, ...kindOf(rest, species) };
  const own = explain(rest, [...found.used, ...rest.species], found.concepts);
  return {
    notes: [{ kind: 'tree', facts }],
    used: new Set([...scan.pieces.keys()].filter((at) => at <= end || own.has(at - end - 1))),
    against: -0.2,
  };
}

const kindOf = (scan: Scan, at: number | undefined) => (at === undefined ? {} : { species: scan.name(at) });

/** Says what becomes of what was told just now, in words that mean nothing else. */
export const isVerdict = (note: Note | undefined): boolean =>
  (note?.kind === 'scratch' && note.leave === true) ||
  (note?.kind === 'tree' && note.facts.border === 'in' && note.height === undefined);
