/** Taking back and putting back in free words: what is meant. Where that is not plain, it is asked or refused. */
import type { Note, Status, Which } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { readingScratched } from './compose-takes.ts';
import { handOf, isDefinite, type Target, targetOf } from './compose-targets.ts';
import { type Draft, explain, type Scan } from './scan.ts';

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
  const reading = readingScratched(scan);
  if (reading !== undefined) return reading;
  const at = scan.at('scratch');
  const verb = scan.pieces[at]!.text;
  if (
    /^(?:leave|take|lose|kill|throw|drop)$/.test(verb) &&
    !scan.has('lastButOne') &&
    sizedTarget(scan) === undefined &&
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
    'walk',
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
  const broad = broadly(scan, done);
  if (broad !== undefined) return broad;
  const plot = plotAlone(scan);
  if (plot !== undefined)
    return done(
      { kind: 'scratch', plot: scan.number(plot).value },
      [plot],
      ['plot', 'totals', 'allOf', 'each'],
    );
  if (isLastPlot(scan)) return done({ kind: 'scratch', what: 'plot' }, [], ['plot']);
  if (isOfAll(scan)) return undefined;
  const target = sizedTarget(scan) ?? targetOf(scan) ?? bareTarget(scan);
  const part = parts.find(([concept]) => scan.has(concept));
  if (target !== undefined) return ofTarget(scan, target, part, done);
  if (scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  const dead = part === undefined ? nameless(scan) : undefined;
  if (dead !== undefined) return done({ kind: 'scratch', of: { status: dead.status } }, dead.used);
  if (part !== undefined) return done({ kind: 'scratch', what: part[1] }, [], [part[0]]);
  const set = setBack(scan, done);
  if (set !== undefined) return set;
  // "The last one" is a tree where trees are told.
  const last = /\blast (?:one|tree)\b/.test(scan.text());
  if (last) return done({ kind: 'scratch', back: 1 }, [], [], 0.2);
  return scan.has('that', 'last') ? done({ kind: 'scratch' }, [], [], 0.2) : undefined;
}

/** "Scratch the defect", "scratch the slope": what is none from now on; of paces it is asked which are meant. */
function setBack(scan: Scan, done: Done): Draft | undefined {
  if (scan.has('defect', 'rot'))
    return done({ kind: 'change', facts: { defect: 0 } }, [], ['defect', 'rot', 'cull']);
  if (scan.has('slope')) return done({ kind: 'plot', op: 'slope', slope: { value: 0 } }, [], ['slope']);
  if (!scan.has('pace')) return undefined;
  const height = done({ kind: 'scratch', what: 'height' }, [], ['pace']);
  return { ...height, other: [{ kind: 'scratch', what: 'pace' }], unsure: true };
}

/** "Scratch plot two": its number, where no other stands there. */
const plotAlone = (scan: Scan): number | undefined =>
  scan.numbers.length === 1 ? scan.of('plot')[0] : undefined;

/** "Undo that last stop". */
const isLastPlot = (scan: Scan): boolean =>
  scan.numbers.length === 0 &&
  scan.species.length === 0 &&
  scan.has('last', 'that', 'here') &&
  scan.pieces.some(({ text }) => /^(?:plot|stop|point|station|sample|circle)$/.test(text));

type Done = (note: Note, places: readonly number[], concepts?: readonly Concept[], against?: number) => Draft;

const isOfAll = (scan: Scan): boolean =>
  scan.numbers.length === 0 && scan.species.length === 0 && scan.has('allOf', 'each');

/** Several at once, or one counted from the end. */
function broadly(scan: Scan, done: Done): Draft | undefined {
  if (scan.has('lastButOne') && scan.numbers.length === 0 && scan.species.length === 0) {
    const note: Note = isAndBefore(scan)
      ? { kind: 'scratch', count: 2 }
      : { kind: 'scratch', back: 2, ...(isOfTree(scan) ? { what: 'tree' as const } : {}) };
    return done(note, [], ['lastButOne']);
  }
  const trees = treesNumbered(scan);
  if (trees !== undefined) return { ...done({ kind: 'scratch' }, scan.numbers), notes: trees };
  const kind = severalOf(scan);
  if (kind !== undefined) return done(kind.note, kind.used);
  // "Everything in the plot" is the plot with its trees; it is asked.
  return isOfAll(scan) && /\b(?:plot|stop|point)\b/.test(scan.text())
    ? {
        ...done({ kind: 'scratch', what: 'plot' }, [], ['allOf', 'plot', 'in', 'each', 'here']),
        unsure: true,
      }
    : undefined;
}

/** "The last tree but one", "the tree before this one". */
const isOfTree = (scan: Scan): boolean =>
  scan.has('tree') || /\btree\b/.test(scan.pieces[scan.at('lastButOne')]!.text);

/** "Scratch that and the one before". */
const isAndBefore = (scan: Scan): boolean => {
  const at = scan.at('lastButOne');
  return scan.pieces[at - 1]?.text === 'the' && scan.pieces[at - 2]?.text === 'and';
};

/** "Delete tree two and three". */
function treesNumbered(scan: Scan): Draft['notes'] | undefined {
  const [first, ...others] = scan.numbers;
  if (first === undefined || others.length === 0 || scan.species.length > 0 || !scan.has('tree'))
    return undefined;
  const plain = scan.numbers.every(
    (at, place) =>
      /^(?:tree|bare)$/.test(scan.label(at)) &&
      Number.isInteger(scan.number(at).value) &&
      (place === 0 || scan.pieces.slice(scan.numbers[place - 1]! + 1, at).some(({ is }) => is === 'break')),
  );
  const many = /^(?:trees|numbers)$/.test(scan.pieces[first - 1]?.text ?? '');
  if (!plain || (scan.label(first) !== 'tree' && !many)) return undefined;
  const scratch = (at: number): Note => ({ kind: 'scratch', tree: scan.number(at).value });
  return [scratch(first), ...others.map(scratch)];
}

/** "Remove both redbuds", "delete all three oaks": the trees of a kind, which must be so many. */
function severalOf(scan: Scan): { note: Note; used: readonly number[] } | undefined {
  const [species, ...others] = scan.species;
  if (species === undefined || others.length > 0 || scan.pieces[species]!.many !== true) return undefined;
  const [at, ...more] = scan.numbers;
  const both = scan.pieces.some(({ text }) => text === 'both');
  const said = at === undefined ? undefined : scan.number(at);
  if (more.length > 0 || (at !== undefined && (both || said?.unit !== undefined || at > species)))
    return undefined;
  const count = both ? 2 : said?.value;
  if (count === undefined || count < 2 || !Number.isInteger(count)) return undefined;
  const note: Note = { kind: 'scratch', of: { species: scan.name(species) }, count };
  return { note, used: at === undefined ? [species] : [species, at] };
}

/** "Take one beech off, the six", "throw out the 66": a kind with its diameter behind it, or a size alone. */
function sizedTarget(scan: Scan): { which: Which; used: readonly number[]; tree?: number } | undefined {
  const [species, ...others] = scan.species;
  const sizes = scan.numbers.filter((at) => scan.label(at) === 'bare' && scan.pieces[at - 1]?.text === 'the');
  const [at] = sizes;
  const counted = scan.numbers.filter((one) => !sizes.includes(one));
  const one = counted.length === 0 || (counted.length === 1 && scan.number(counted[0]!).value === 1);
  if (
    at === undefined ||
    sizes.length > 1 ||
    others.length > 0 ||
    !one ||
    (species !== undefined && at < species)
  )
    return undefined;
  const which = {
    ...(species === undefined ? {} : { species: scan.name(species) }),
    diameter: scan.number(at).value,
  };
  return { which, used: [...counted, at, ...(species === undefined ? [] : [species])] };
}

/** "Take one hazel off", "delete the last larch": one of a kind. */
function bareTarget(scan: Scan): { which: Which; used: readonly number[]; tree?: number } | undefined {
  const [species, ...others] = scan.species;
  if (species === undefined || others.length > 0) return undefined;
  return { which: { species: scan.name(species) }, used: [species] };
}

/** What is taken back of a tree that is named, or the tree. */
function ofTarget(
  scan: Scan,
  target: Target,
  part: (typeof parts)[number] | undefined,
  done: Done,
): Draft | undefined {
  if (scan.numbers.some((one) => !target.used.includes(one))) return undefined;
  if (part !== undefined)
    return {
      ...done({ kind: 'scratch', what: part[1] }, target.used, [part[0]]),
      notes: [handOf(target), { kind: 'scratch', what: part[1] }],
    };
  if (target.tree !== undefined) return done({ kind: 'scratch', tree: target.tree }, target.used);
  const state = statusBefore(scan, Math.min(...target.used));
  const plainly =
    state === undefined
      ? done({ kind: 'scratch', of: target.which! }, target.used)
      : done({ kind: 'scratch', of: { ...target.which, status: state.status } }, [...target.used, state.at]);
  return scan.pieces.some(({ text }) => /^(?:the|that|this|one|last)$/.test(text))
    ? plainly
    : { ...plainly, unsure: true };
}

/** "The dead one". */
function nameless(scan: Scan): { status: Status; used: readonly number[] } | undefined {
  const one = scan.pieces.findIndex(({ text }) => /^(?:one|tree|stem)$/.test(text));
  const state = one < 0 ? undefined : statusBefore(scan, one);
  return state === undefined ? undefined : { status: state.status, used: [state.at, one] };
}

/** "The dead birch", "that big live one": a state right before what it is of; undefined where none is. */
function statusBefore(scan: Scan, at: number): { status: Status; at: number } | undefined {
  for (let before = at - 1; before >= 0 && scan.pieces[before]!.is === 'words'; before--) {
    const { concepts, light, text } = scan.pieces[before]!;
    const status = statesSaid.find((state) => concepts.has(state));
    if (status !== undefined) return { status, at: before };
    if (!light || isDefinite(text)) return undefined;
  }
  return undefined;
}
const statesSaid = ['dead', 'live', 'cull'] as const satisfies readonly Status[];

const backAgain = /\b(?:put|bring|get|take|want|have|give)\b.* back\b/;
const restoreWords: readonly Concept[] = [
  'restore',
  'fix',
  'that',
  'no',
  'not',
  'here',
  'again',
  'in',
  'out',
  'one',
  'scratch',
];

/** "The last two": so many of what was taken back. */
function lastSeveral(scan: Scan): { readonly count: number; readonly used: readonly number[] } | undefined {
  const [at, ...more] = scan.numbers;
  if (scan.species.length > 0 || more.length > 0) return undefined;
  if (at === undefined)
    return /\bback both\b|\bboth back\b|\bboth of them\b/.test(scan.text())
      ? { count: 2, used: scan.placesOf(({ text }) => text === 'both') }
      : undefined;
  const { value, unit } = scan.number(at);
  const plain =
    unit === undefined &&
    Number.isInteger(value) &&
    value > 1 &&
    scan.before(at, /^(?:last|those|them|all)$/);
  return plain ? { count: value, used: [at] } : undefined;
}

/** "Put it back", "bring the beech back", "no, keep the beech". */
export function restoreDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask')) return undefined;
  // "Eye back to mine": the one before; whose it was nobody said, so it is asked.
  const mine = /\b(?:back|return|again)\b.*\b(?:mine|my own|what it was)\b/.test(scan.text());
  if (mine && scan.numbers.length === 0 && scan.has('eye') !== scan.has('pace'))
    return {
      notes: [{ kind: 'scratch', what: scan.has('eye') ? 'eye' : 'pace' }],
      used: explain(scan, [], ['eye', 'pace', 'reopen', 'to', 'restore', 'again']),
      against: 0,
      unsure: true,
    };
  const keeps = /\bkeep\b/.test(scan.text()) && scan.has('no', 'fix') && scan.species.length === 1;
  const puts =
    backAgain.test(scan.text()) && !(scan.has('scratch') && !/\b(?:put|bring|get|want)\b/.test(scan.text()));
  if (!scan.has('restore') && !keeps && !puts) return undefined;
  const target = targetOf(scan) ?? sizedTarget(scan) ?? bareTarget(scan);
  const back = scan.pieces.flatMap(({ text }, at) => (/^(?:back|keep|bring)$/.test(text) ? [at] : []));
  const several = lastSeveral(scan);
  if (several !== undefined)
    return {
      notes: [{ kind: 'restore', count: several.count }],
      used: explain(scan, [...several.used, ...back], [...restoreWords, 'last', 'each', 'tree', 'ofThem']),
      against: 0,
    };
  if (target !== undefined) return targetRestored(scan, target, back);
  if (scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  if (!scan.has('restore') && !(puts && scan.has('that'))) return undefined;
  return {
    notes: [{ kind: 'restore' }],
    used: explain(scan, back, restoreWords),
    against: 0.1,
  };
}

/** "Put the beech back", "put it back, I meant the ash": what is named comes back, or goes instead. */
function targetRestored(scan: Scan, target: Target, back: readonly number[]): Draft | undefined {
  if ([...scan.numbers, ...scan.species].some((at) => !target.used.includes(at))) return undefined;
  // "Put it back, I meant the ash": that one goes instead.
  if (
    /\b(?:i meant|meant|should have been|wanted|it was)\b/.test(scan.text()) &&
    /\bback\b|\brestore\b/.test(scan.text())
  )
    return {
      notes: [
        { kind: 'restore' },
        target.tree === undefined
          ? { kind: 'scratch', of: target.which! }
          : { kind: 'scratch', tree: target.tree },
      ],
      used: explain(scan, [...target.used, ...back], restoreWords),
      against: 0.1,
    };
  // "Restore both": what was taken back last, which may have been both.
  const both = scan.species.some((at) => scan.pieces[at]!.many === true);
  if (both)
    return {
      notes: [{ kind: 'restore' }],
      used: explain(scan, [...target.used, ...back], [...restoreWords, 'each']),
      against: 0.1,
      unsure: true,
    };
  const note: Note =
    target.tree === undefined
      ? { kind: 'restore', of: target.which! }
      : { kind: 'restore', tree: target.tree };
  return { notes: [note], used: explain(scan, [...target.used, ...back], restoreWords), against: 0.1 };
}
