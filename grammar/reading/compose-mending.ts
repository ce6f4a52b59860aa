/** Taking back, putting back and correcting in free words: what is meant, and what it becomes. */
import type { Note, Which } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { factsOf } from './compose-facts.ts';
import { handOf, type Target, targetOf } from './compose-targets.ts';
import { type Draft, explain, plainLength, type Scan } from './scan.ts';

const parts: readonly (readonly [
  Concept,
  'height' | 'diameter' | 'logs' | 'pace' | 'eye' | 'species' | 'remark',
])[] = [
  ['tall', 'height'],
  ['dbh', 'diameter'],
  ['girth', 'diameter'],
  ['log', 'logs'],
  ['remark', 'remark'],
  ['eye', 'eye'],
];

/** Takes back what is named; asked where it is not plain what that is. */
export function scratchDraft(scan: Scan): Draft | undefined {
  if (scan.asked || !scan.has('scratch')) return undefined;
  const at = scan.at('scratch');
  const verb = scan.pieces[at]!.text;
  if (
    /^(?:leave|take|lose|kill|throw|drop)$/.test(verb) &&
    !scan.pieces.some(({ text }) => /^(?:off|out|away|back)$/.test(text)) &&
    scan.species.length === 0
  )
    return undefined;
  const words: Concept[] = [
    'scratch',
    'that',
    'last',
    'tree',
    'out',
    'off',
    'one',
    'stand',
    'here',
    'has',
    'each',
  ];
  const done = (
    note: Note,
    places: readonly number[],
    concepts: readonly Concept[] = [],
    against = 0,
  ): Draft => ({
    notes: [note],
    used: explain(scan, places, [...words, ...concepts]),
    against,
  });
  const [plot] = scan.of('plot');
  if (plot !== undefined && scan.numbers.length === 1)
    return done({ kind: 'scratch', plot: scan.number(plot).value }, [plot], ['plot']);
  const target = targetOf(scan) ?? bareTarget(scan);
  const part = parts.find(([concept]) => scan.has(concept));
  if (target !== undefined) {
    if (scan.numbers.some((one) => !target.used.includes(one))) return undefined;
    if (part !== undefined)
      return {
        ...done({ kind: 'scratch', what: part[1] }, target.used, [part[0]]),
        notes: [handOf(target), { kind: 'scratch', what: part[1] }],
      };
    if (target.tree !== undefined) return done({ kind: 'scratch', tree: target.tree }, target.used);
    const plainly = done({ kind: 'scratch', of: target.which! }, target.used);
    return scan.pieces.some(({ text }) => /^(?:the|that|this|one|last)$/.test(text))
      ? plainly
      : { ...plainly, unsure: true };
  }
  if (scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  if (part !== undefined) return done({ kind: 'scratch', what: part[1] }, [], [part[0]]);
  return scan.has('that', 'last') ? done({ kind: 'scratch' }, [], [], 0.2) : undefined;
}

/** "Take one hazel off", "delete the last larch": one of a kind. */
function bareTarget(scan: Scan): { which: Which; used: readonly number[]; tree?: number } | undefined {
  const [species, ...others] = scan.species;
  if (species === undefined || others.length > 0) return undefined;
  return { which: { species: scan.name(species) }, used: [species] };
}

export function restoreDraft(scan: Scan): Draft | undefined {
  if (scan.asked || !scan.has('restore') || scan.numbers.length > 0) return undefined;
  return {
    notes: [{ kind: 'restore' }],
    used: explain(scan, [], ['restore', 'fix', 'that', 'no', 'not', 'here']),
    against: 0.1,
  };
}

type Change = Extract<Note, { kind: 'change' }>;

/** What is put right, and what it was. */
interface Mended {
  readonly scan: Scan;
  readonly target: Target | undefined;
  readonly own: ReadonlySet<number>;
  readonly was: number | undefined;
  readonly wasSpecies: number | undefined;
  readonly species: readonly number[];
  readonly numbers: readonly number[];
  /** "That is", "should be": it is told of something. */
  readonly told: boolean;
}

/** A value put right: of the tree that is named, or the last one. */
export function changeDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('scratch', 'restore', 'ask', 'remark', 'plot', 'person')) return undefined;
  if (/\bi make it\b/.test(scan.text())) return undefined;
  const mended = mendedOf(scan);
  const { was, wasSpecies, told, target, species, numbers } = mended;
  const corrects = scan.has('fix', 'no') || was !== undefined || wasSpecies !== undefined;
  if (!corrects && !(told && (target !== undefined || species.length > 0))) return undefined;
  if (species.length === 1) return speciesChange(mended, scan.name(species[0]!));
  return species.length === 0 && numbers.length === 1 ? numberChange(mended, numbers[0]!) : undefined;
}

function mendedOf(scan: Scan): Mended {
  const target = targetOf(scan);
  const own = new Set(target?.used ?? []);
  const not = scan.pieces.findIndex(({ concepts }) => concepts.has('not'));
  // What stands behind "not" is what it was.
  const behind = (at: number): boolean => not >= 0 && at > not && !own.has(at);
  const was = scan.numbers.find((at) => behind(at) && at < not + 4);
  const wasSpecies = scan.species.find(behind);
  return {
    scan,
    target,
    own,
    was,
    wasSpecies,
    species: scan.species.filter((at) => !own.has(at) && at !== wasSpecies),
    numbers: scan.numbers.filter((at) => !own.has(at) && at !== was),
    told: telling(scan) || putting.test(scan.text()),
  };
}

const putting = /\b(?:change|make|should be|i meant|is really|was really|is actually)\b/;
const changeWords: readonly Concept[] = [
  'fix',
  'no',
  'not',
  'that',
  'one',
  'to',
  'last',
  'guess',
  'tree',
  'dbh',
  'each',
  'has',
  'laid',
];

/** The tree as a change names it; undefined where it must be taken in hand first. */
function treeOfChange(target: Target | undefined): Pick<Change, 'tree' | 'of'> | undefined {
  if (target === undefined) return {};
  if (target.tree !== undefined) return { tree: target.tree };
  const { which } = target;
  return which !== undefined && onlySpecies(which) ? { of: { species: which.species! } } : undefined;
}

/** The change as a note, behind the tree where that is named by more than its species. */
function changed(
  mended: Mended,
  change: Omit<Change, 'kind'>,
  concepts: readonly Concept[],
  against = 0.1,
): Draft {
  const { scan, target, was, wasSpecies, told, own, species, numbers } = mended;
  const tree = treeOfChange(target);
  const said = was === undefined || target !== undefined ? {} : { was: scan.number(was).value };
  const note: Note = { kind: 'change', ...(tree ?? {}), ...said, ...change };
  const places = [...own, ...species, ...numbers, ...[was, wasSpecies].filter((at) => at !== undefined)];
  const plain = change.number !== undefined || change.distance !== undefined;
  const unsure = target === undefined && !told && scan.has('fix') && !plain;
  return {
    notes: tree === undefined && target !== undefined ? [handOf(target), note] : [note],
    used: explain(scan, places, [...changeWords, ...concepts]),
    against,
    ...(unsure ? { unsure } : {}),
  };
}

function speciesChange(mended: Mended, name: string | number): Draft | undefined {
  const { scan, target, was, wasSpecies, told, own, numbers } = mended;
  if (was !== undefined) return undefined;
  if (numbers.length === 0) {
    const of =
      wasSpecies === undefined || target !== undefined ? {} : { of: { species: scan.name(wasSpecies) } };
    return changed(mended, { ...of, facts: { species: name } }, []);
  }
  if (!told) return undefined;
  const found = factsOf(scan, own);
  if (found === undefined || found.more.length > 0 || found.facts.count !== undefined) return undefined;
  if (target === undefined)
    return changed(mended, { facts: { ...found.facts, species: name } }, found.concepts);
  const [first, ...behind] = changed(mended, { facts: { species: name } }, found.concepts).notes;
  const last = changed(mended, { facts: found.facts }, found.concepts);
  return { ...last, notes: [first, ...behind, ...last.notes.slice(-1)] };
}

function numberChange(mended: Mended, at: number): Draft | undefined {
  const { scan, target, was, own } = mended;
  const said = scan.number(at);
  const label = scan.label(at);
  if (said.unit === 'paces' || said.unit === 'steps')
    return changed(mended, { distance: { by: said.unit, count: said.value } }, ['pace', 'walk', 'off']);
  if (/^(?:girth|diameter|logs|defect)$/.test(label)) {
    const found = factsOf(scan, new Set([...own, ...(was === undefined ? [] : [was])]));
    return found === undefined ? undefined : changed(mended, { facts: found.facts }, found.concepts);
  }
  if (!/^(?:bare|distance|height|base|top)$/.test(label)) return undefined;
  // Of a tree that is named a bare number is its diameter, of the last thing said whatever that was.
  if (target !== undefined && label === 'bare' && was === undefined)
    return changed(mended, { facts: { diameter: { value: said.value } } }, []);
  // "The thirteen is seventy four feet" tells how tall it is.
  const tall = /^(?:distance|height)$/.test(label) && (said.unit === 'ft' || said.unit === 'm');
  if (target !== undefined && tall && !scan.has('fix', 'no') && was === undefined)
    return {
      notes: [handOf(target), { kind: 'height', height: { method: 'reading', takes: [plainLength(said)] } }],
      used: explain(scan, [...own, at], [...changeWords, 'tall']),
      against: 0.1,
    };
  const number = { ...plainLength(said), value: (said.sign ?? 1) * said.value };
  const against = target === undefined && !scan.has('fix', 'no') ? 0.6 : 0.1;
  return changed(mended, { number }, label === 'height' ? ['tall'] : ['off', 'base', 'top', 'walk'], against);
}

const onlySpecies = ({ species, nth, diameter }: Which): boolean =>
  species !== undefined && nth === undefined && diameter === undefined;

/** "That's a", "it was a", "is really": what it is. */
const telling = (scan: Scan): boolean =>
  scan.pieces.some(
    ({ text }, at) =>
      /^(?:is|'s|was|were|'d)$/.test(text) &&
      (at === 0 ||
        /^(?:that|it|this|one|they|those|tree|last one|that one|this one|that last|them|he|she)$/.test(
          scan.pieces[at - 1]!.text,
        ) ||
        scan.pieces[at - 1]!.is !== 'words'),
  );
