/** Trees put together from a species, numbers that tell what they are of, and words for its state; or told of a named tree. */
import type { Note, TreeFacts } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { type FactsFound, factsOf } from './compose-facts.ts';
import { heightOf, ofThis } from './compose-heights.ts';
import { tellsOfNone } from './compose-lists.ts';
import type { HeightFound } from './compose-sights.ts';
import { handOf, isDefinite, isTelling, type Target, targetOf } from './compose-targets.ts';
import { type Draft, explain, isDescribed, plainDiameter, type Scan } from './scan.ts';

const treeWords: readonly Concept[] = ['next', 'one', 'that', 'has', 'here'];

/** What a stretch tells besides names: facts, a height, and nothing else. */
interface Told {
  readonly height: HeightFound | undefined;
  readonly found: FactsFound | undefined;
  readonly used: readonly number[];
  readonly concepts: readonly Concept[];
  readonly unsure: boolean;
}

/** Facts and height of the numbers that nothing else took; undefined where one is left over. */
function toldOf(scan: Scan, own: ReadonlySet<number>): Told | undefined {
  const anyHeight = heightOf(scan);
  const height = anyHeight?.used.some((at) => own.has(at)) === true ? undefined : anyHeight;
  const taken = new Set<number>([...own, ...(height?.used ?? [])]);
  const found = factsOf(scan, taken);
  const used = [...taken, ...(found?.used ?? [])];
  if (scan.numbers.some((at) => !used.includes(at) && scan.label(at) !== 'reach')) return undefined;
  return {
    height,
    found,
    used,
    concepts: [...(found?.concepts ?? []), ...(height?.concepts ?? [])],
    unsure: found?.unsure === true || height?.unsure === true,
  };
}

const ofHeight = (height: HeightFound['height'] | undefined, of: { readonly of?: 'this' } = {}): Note[] =>
  height === undefined ? [] : [{ kind: 'height', height, ...of }];

/** A clause of facts stands before the one with the name. */
function isBehind(scan: Scan, species: number): boolean {
  const end = scan.pieces.findIndex(({ is }) => is === 'break');
  return (
    end >= 0 &&
    end < species &&
    scan.pieces
      .slice(0, end)
      .some(
        ({ is, number, concepts }) =>
          (is === 'number' && number?.unit !== undefined) ||
          is === 'mark' ||
          concepts.has('dead') ||
          concepts.has('live') ||
          concepts.has('cull'),
      )
  );
}

const isNoTree = (scan: Scan, elsewhere: number | undefined): boolean =>
  scan.has('not', 'scratch', 'restore', 'ask', 'person') || (scan.has('plot') && elsewhere === undefined);

/** "First tree is a beech": which one it is in its turn tells nothing more. */
function countedOff(scan: Scan, species: number): readonly number[] {
  const nth = scan.pieces.findIndex(({ is }) => is === 'ordinal');
  const words = scan.pieces.slice(nth + 1, species);
  const turn =
    nth >= 0 &&
    words[0]?.concepts.has('tree') === true &&
    words.slice(1).every(({ light, is }) => light || is === 'break');
  return turn ? [nth] : [];
}

function onlyKindOf(scan: Scan): number | undefined {
  const [species, ...others] = scan.species;
  return others.length > 0 || scan.asked || tellsOfNone(scan) ? undefined : species;
}

/** A tree that begins: one species, what it measures, its height where that is told too. */
export function treeDraft(scan: Scan): Draft | undefined {
  const species = onlyKindOf(scan);
  if (species === undefined) return undefined;
  const elsewhere = plotOf(scan);
  if (isNoTree(scan, elsewhere)) return undefined;
  const number = numberedFirst(scan);
  if (number === undefined && targetOf(scan) !== undefined) return undefined;
  const all = toldOf(scan, new Set([elsewhere, number].flatMap((at) => at ?? [])));
  if (all === undefined) return undefined;
  const { height, found } = all;
  if (found === undefined && height === undefined && !isPlain(scan)) return undefined;
  const facts: TreeFacts = {
    ...(found?.facts ?? {}),
    species: scan.name(species),
    ...(elsewhere === undefined ? {} : { plot: scan.number(elsewhere).value }),
  };
  const tree: Extract<Note, { kind: 'tree' }> = { kind: 'tree', facts };
  const more = (found?.more ?? []).map((diameter): Note => ({ kind: 'tree', facts: { ...facts, diameter } }));
  const before = found?.counted === true ? [] : scan.of('bare', 'diameter').filter((at) => at < species);
  if (more.length > 0 && (height !== undefined || before.length > 0)) return undefined;
  const plural = scan.pieces[species]!.many === true && found?.counted !== true && more.length === 0;
  // "The limes, all about sixty feet" are trees that stand.
  if (plural && scan.has('each')) return undefined;
  // "Three of the spruces had a split top" begins no trees.
  const ofSome = /\bof (?:the|those|these|them)(?: \S+)?$/.test(scan.text(0, species));
  const unsure =
    all.unsure || ofSome || plural || mayBeElse(scan, facts, before) || isTreeNumber(scan, number);
  const concepts: Concept[] = [
    ...treeWords,
    ...all.concepts,
    ...(elsewhere === undefined ? [] : ['plot' as const]),
  ];
  const beside = besideTree(all, tree);
  if (beside === undefined) return undefined;
  return {
    notes: [tree, ...more, ...beside.told, ...ofHeight(height?.height)],
    ...(beside.other === undefined ? {} : { other: beside.other }),
    used: explain(scan, [species, ...all.used, ...countedOff(scan, species)], concepts),
    // "Both" and "all" are of more than one; what is told in a clause before a name is of the tree before.
    against:
      (scan.has('each') && more.length === 0 && facts.count === undefined ? 1 : 0) +
      (isBehind(scan, species) ? 0.3 : 0),
    ...(unsure ? { unsure: true } : {}),
  };
}

/** What may be meant instead of a tree, and what is only told of it; undefined where that is too much to ask at once. */
function besideTree(
  { found, height }: Told,
  tree: Extract<Note, { kind: 'tree' }>,
): { readonly other?: NonNullable<Draft['other']>; readonly told: readonly Note[] } | undefined {
  const told: Note[] = found?.told === undefined ? [] : [{ kind: 'remark', text: found.told }];
  if (found?.rival !== undefined)
    return height === undefined
      ? { other: [{ ...tree, facts: { ...tree.facts, diameter: found.rival } }], told }
      : undefined;
  return height?.other === undefined ? { told } : { other: [tree, ...ofHeight(height.other)], told };
}

/** A name among words that say nothing, a whole number before a name, a mark and no number: it may be something else. */
function mayBeElse(scan: Scan, facts: TreeFacts, before: readonly number[]): boolean {
  if (scan.numbers.length === 0 && !(isNaming(scan) && facts.marks === undefined)) return true;
  return (
    before.some(
      (at) =>
        scan.label(at) === 'bare' &&
        Number.isInteger(scan.number(at).value) &&
        // "24, larch" is told apart by its comma.
        !(scan.pieces[at + 1]?.is === 'break' && scan.pieces[scan.species[0]!]?.many !== true),
    ) || scan.of('bare').some((at) => isDefinite(scan.pieces[at - 1]?.text))
  );
}

/** "Specimen one, bur oak": its number stands before what it is. */
function numberedFirst(scan: Scan): number | undefined {
  const [at, ...others] = scan.of('tree');
  if (at === undefined || others.length > 0 || at > 2 || scan.pieces.some(({ text }) => isTelling(text)))
    return undefined;
  return /^(?:break|species)$/.test(scan.pieces[at + 1]?.is ?? '') ? at : undefined;
}

/** "Tree three, red oak fourteen" may be the third or what the third is. */
const isTreeNumber = (scan: Scan, at: number | undefined): boolean =>
  at !== undefined && scan.pieces[at - 1]?.text !== 'specimen';

/** "Back in plot one", "add it to plot two": where the tree belongs. */
function plotOf(scan: Scan): number | undefined {
  const [at, ...others] = scan.of('plot');
  if (at === undefined || others.length > 0 || scan.has('open', 'close', 'empty')) return undefined;
  // "Plot one missed a beech".
  const lacks = /^(?:missed|missing|forgot|lacks|needs|skipped)$/.test(scan.pieces[at + 1]?.text ?? '');
  return lacks || scan.before(at, /^(?:in|on|to|for|of)$/) ? at : undefined;
}

/** Only articles and words that lead on stand beside a name. */
const isNaming = (scan: Scan): boolean =>
  scan.pieces.every(({ is, text, concepts }, at) => {
    if (is !== 'words' || ['dead', 'live', 'cull'].some((one) => concepts.has(one as Concept))) return true;
    return at < scan.species[0]! && (leadsOn.test(text) || concepts.has('next'));
  });
const leadsOn =
  /^(?:an?|and|another|next|one|here|is|there|this|also|i|we|have|got|big|old|nice|little|small)$/;

/** Nothing but a name: "and a scarlet oak". */
const isPlain = (scan: Scan): boolean =>
  scan.pieces.every(
    ({ is, light, concepts }) =>
      is === 'species' || light || concepts.has('next') || concepts.has('tree') || concepts.has('here'),
  );

const ofUnits = /^(?:milli|centi|deci)?(?:met(?:er|re)|mm|cm|mil)s?$/;

/** "Ym 10.6": a word that nobody here knows before a size is asked for as the kind of a tree, never passed over. */
export function unknownKindDraft(scan: Scan): Draft | undefined {
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0 || scan.asked || scan.species.length > 0) return undefined;
  const lead = scan.pieces.slice(0, at).filter(({ light }) => !light);
  const named =
    lead.length > 0 && lead.length < 3 && lead.every(({ unknown, text }) => unknown && !ofUnits.test(text));
  const label = scan.label(at);
  const sized =
    label === 'diameter' || (label === 'other' && scan.number(at).unit === undefined) || label === 'bare';
  if (!named || !sized || scan.number(at).sign !== undefined || at !== scan.pieces.length - 1)
    return undefined;
  return {
    notes: [{ kind: 'tree', facts: { diameter: plainDiameter(scan.number(at)) } }],
    used: new Set([at]),
    against: 0.5,
    unsure: true,
  };
}

const moreWords: readonly Concept[] = ['that', 'one', 'has', 'tree', 'fix', 'last', 'goes'];

/** More of a tree that is named, or of the one in hand: what it measures, what it has, its height. */
export function moreDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('scratch', 'restore', 'ask', 'plot', 'person', 'not')) return undefined;
  const target = targetOf(scan);
  const own = new Set(target?.used ?? []);
  if (scan.species.some((at) => !own.has(at))) return undefined;
  // A bare number may be anything of the tree in hand.
  if (target === undefined && scan.of('bare').length > 0 && !scan.has('tall', 'device')) return undefined;
  const told = toldOf(scan, own);
  if (told === undefined || (told.found?.more.length ?? 0) > 0 || told.found?.facts.count !== undefined)
    return undefined;
  const { height, found } = told;
  if (height === undefined && found === undefined) return undefined;
  const before: Note[] = [
    ...(target === undefined ? [] : [handOf(target)]),
    ...factsNote(scan, target, found?.facts),
  ];
  const ofOne = before.length === 0 ? ofThis(scan) : {};
  const [first, ...rest] = [...before, ...ofHeight(height?.height, ofOne)];
  const [one, ...others] = [...before, ...ofHeight(height?.other, ofOne)];
  if (first === undefined) return undefined;
  const opens = scan.pieces.find(({ is, text }) => is !== 'words' || isTelling(text))?.text ?? '';
  // What is told of no tree by name is of the one in hand only where nothing else is spoken of.
  const alone =
    target === undefined &&
    (isDescribed(scan) ||
      (scan.numbers.length === 0 && !isTelling(opens)) ||
      (found !== undefined && !isOfInHand(scan)));
  return {
    notes: [first, ...rest],
    ...(height?.other === undefined || one === undefined ? {} : { other: [one, ...others] }),
    used: explain(scan, told.used, [...moreWords, ...told.concepts]),
    against: target === undefined ? 0.2 : 0,
    ...(told.unsure || alone ? { unsure: true } : {}),
  };
}

/** Nothing but what it has and small words: no "big one", no "put it". */
const isOfInHand = (scan: Scan): boolean =>
  scan.pieces.every(
    ({ is, text, concepts }) =>
      is !== 'words' || (smallWords.test(text) ? true : concepts.size > 0 && !namingWords.test(text)),
  );
const smallWords =
  /^(?:oh|well|okay|ok|thick|it|its|it's|'s|he|she|is|was|has|got|have|with|and|also|about|in|good|nice|of|at|a|an|maybe|say|says|so|too|there|are|there's)$/;
const namingWords = /^(?:one|that|this|next|last|big|old|little|small|other|first|second)$/;

/** "For the 17.6", "back to the beech": it is in hand again. */
export function handDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('scratch', 'restore', 'ask', 'plot', 'fix', 'no', 'not')) return undefined;
  const target = targetOf(scan) ?? leadTarget(scan);
  if (
    target === undefined ||
    scan.numbers.some((at) => !target.used.includes(at)) ||
    scan.species.some((at) => !target.used.includes(at))
  )
    return undefined;
  if (!/^(?:for|on|onto|back|now|to)$/.test(scan.pieces[0]!.text.split(' ')[0]!)) return undefined;
  return {
    notes: [handOf(target)],
    used: explain(scan, target.used, ['reopen', 'again', 'off']),
    against: 0.3,
  };
}

/** "For the 17.6". */
function leadTarget(scan: Scan): Target | undefined {
  const [at, ...others] = scan.numbers;
  if (
    at === undefined ||
    others.length > 0 ||
    scan.number(at).sign !== undefined ||
    scan.label(at) !== 'bare'
  )
    return undefined;
  return isDefinite(scan.pieces[at - 1]?.text)
    ? { which: { diameter: scan.number(at).value }, used: [at] }
    : undefined;
}

/** What is told of a tree is more of it; what "should be" or "really is" so changes it. */
function factsNote(scan: Scan, target: Target | undefined, facts: TreeFacts | undefined): Note[] {
  if (facts === undefined) return [];
  const changes =
    scan.has('fix') ||
    (target !== undefined && /\b(?:was|is|'s|should)\b/.test(scan.text()) && facts.diameter !== undefined);
  return [changes ? { kind: 'change', facts } : { kind: 'tree', facts }];
}
