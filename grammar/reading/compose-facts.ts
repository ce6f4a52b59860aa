/** What a stretch tells of a tree: its diameter or several, logs, defect, state, marks. */
import type { TreeFacts } from '../../shared/note/note.ts';
import { borderMark } from '../../shared/totals/types.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { isDefinite } from './compose-targets.ts';
import type { Quantity } from './said-numbers.ts';
import { type Label, plainDiameter, plainLength, type Scan } from './scan.ts';

/** Inches or centimetres around, whatever unit the tape had. */
function girthOf(said: Quantity): NonNullable<TreeFacts['diameter']> {
  const { value, unit } = said;
  if (unit === 'ft') return { value: round(value * 12), unit: 'in', girth: true };
  if (unit === 'm') return { value: round(value * 100), unit: 'cm', girth: true };
  return { ...plainDiameter(said), girth: true };
}

const round = (value: number): number => Math.round(value * 1000) / 1000;

export interface FactsFound {
  readonly facts: TreeFacts;
  readonly used: readonly number[];
  readonly concepts: readonly Concept[];
  readonly unsure: boolean;
  /** A number of it says how many there are. */
  readonly counted: boolean;
  /** Further trees of the same kind, by their diameters. */
  readonly more: readonly NonNullable<TreeFacts['diameter']>[];
  /** Another size that may be meant instead: "twelve, say thirteen", a girth that does not go with the diameter. */
  readonly rival?: NonNullable<TreeFacts['diameter']>;
  /** A girth that goes with the diameter, in the words that were said. */
  readonly told?: string;
}

const diameterOf = (said: Quantity): NonNullable<TreeFacts['diameter']> =>
  said.unit === 'ft' ? { value: round(said.value * 12), unit: 'in' } : plainDiameter(said);

/** What was found so far. */
interface Finding {
  readonly scan: Scan;
  readonly facts: TreeFacts;
  readonly places: number[];
  readonly concepts: Concept[];
  readonly diameters: number[];
}

type Taking = (finding: Finding, said: Quantity, at: number) => boolean;

const takeDiameter: Taking = ({ scan, facts, diameters, concepts }, said, at) => {
  if (said.sign !== undefined) return false;
  // "Three trunks" says how many follow.
  if (/^(?:stems|trunks)$/.test(scan.pieces[at + 1]?.text ?? '')) return true;
  const { value } = said;
  // "The second one has two": logs, most likely, and no size.
  if (value <= 6 && scan.label(at) === 'bare' && /^(?:has|had)$/.test(scan.pieces[at - 1]?.text ?? ''))
    return false;
  const counts =
    scan.label(at) === 'bare' && facts.count === undefined && Number.isInteger(value) && value > 1;
  if (counts && value < 40 && countsSpecies(scan, at)) facts.count = value;
  else {
    diameters.push(at);
    concepts.push('dbh');
  }
  return true;
};

/** How a number of each kind goes into the tree; false where it cannot. */
const takings: Partial<Record<Label, Taking>> = {
  diameter: takeDiameter,
  bare: takeDiameter,
  girth: ({ facts, concepts }, said) => {
    if (facts.diameter !== undefined) return false;
    facts.diameter = girthOf(said);
    concepts.push('girth', 'tape');
    return true;
  },
  logs: ({ facts, concepts }, { value }) => {
    if (facts.logs !== undefined) return false;
    facts.logs = value;
    concepts.push('log', 'has');
    return true;
  },
  merch: ({ facts, concepts }, said) => {
    facts.merch = plainLength(said);
    concepts.push('merch');
    return true;
  },
  defect: ({ facts, concepts }, { value, unit }) => {
    const percent = value < 1 && unit === undefined ? value * 100 : value;
    facts.defect = percent;
    concepts.push('defect', 'rot', 'off');
    return percent <= 100;
  },
  // "Butt rot, thirty percent".
  percent: ({ scan, facts, concepts }, { value, sign }) => {
    const told = scan.has('rot', 'defect', 'cull') || scan.pieces.some(({ mark }) => mark !== undefined);
    if (!told || sign !== undefined || facts.defect !== undefined || value > 100) return false;
    facts.defect = value;
    concepts.push('defect', 'rot', 'off');
    return true;
  },
  count: ({ facts, concepts }, { value }) => {
    facts.count = value;
    concepts.push('times', 'ofThem');
    return Number.isInteger(value) && value > 1;
  },
};

/** What the numbers and words of a stretch tell of a tree, apart from those that are another's. */
export function factsOf(scan: Scan, taken: ReadonlySet<number>): FactsFound | undefined {
  const finding: Finding = {
    scan,
    facts: {},
    places: [],
    concepts: ['guess', 'tree', 'noHeight', 'unmeasured', 'inRow', 'ofThem'],
    diameters: [],
  };
  const { facts, places, concepts } = finding;
  for (const at of scan.numbers) {
    if (taken.has(at) || scan.label(at) === 'reach') continue;
    if (takings[scan.label(at)]?.(finding, scan.number(at), at) !== true) return undefined;
    places.push(at);
  }
  if (!takeState(finding, taken)) return undefined;
  const counted = facts.count !== undefined;
  const sized = sizesOf(finding);
  if (sized === undefined || Object.keys(facts).length === 0) return undefined;
  if (counted || sized.more.length > 0) concepts.push('each');
  return { facts, used: places, concepts, counted, ...sized };
}

/** Words of the border that ask nothing. */
const isOnBorder = /^(?:borderline|border tree|(?:right )?on the (?:edge|line|border))$/;

/** Dead or alive, marks, in or out, no logs. */
function takeState(
  { scan, facts, places, concepts, diameters }: Finding,
  taken: ReadonlySet<number>,
): boolean {
  scan.pieces.forEach((piece, at) => {
    if (taken.has(at)) return;
    if (piece.is === 'mark') facts.marks = [...(facts.marks ?? []), piece.mark ?? piece.text];
    else if (
      isOnBorder.test(piece.text) &&
      piece.concepts.has('borderline') &&
      !scan.asked &&
      diameters.length < 2
    )
      facts.marks = [...(facts.marks ?? []), borderMark];
    else if (piece.is === 'words' && !piece.light && /^(?:in|out|outside)$/.test(piece.text))
      facts.border = piece.text === 'in' ? 'in' : 'out';
    else return;
    places.push(at);
  });
  if (facts.count !== undefined) concepts.push('howMany', 'next');
  const status = stateOf(scan, facts.defect !== undefined);
  if (status !== undefined) {
    facts.status = status;
    concepts.push('dead', 'live', 'cull');
  }
  if (scan.has('noLogs') && facts.logs === undefined) {
    facts.logs = 0;
    concepts.push('noLogs');
  }
  return !(scan.has('dead') && scan.has('live')) || /not dead/.test(scan.text());
}

function stateOf(scan: Scan, defective: boolean): TreeFacts['status'] {
  if (scan.has('cull') && !defective) return 'cull';
  if (scan.has('live') && !defective && !/not dead/.test(scan.text())) return 'live';
  return scan.has('dead') ? 'dead' : undefined;
}

type Sizes = Pick<FactsFound, 'more' | 'unsure' | 'rival' | 'told'>;

/** Told as a guess, or as what it may be instead. */
const isGuessed = (scan: Scan, at: number): boolean =>
  /(?:^| )(?:say|or|maybe|perhaps|probably|call it|call that|might be|could be)(?: an?)?$/.test(
    scan.text(Math.max(0, at - 3), at),
  );

/** How far a girth may be from what the diameter comes to: both are read to the nearest whole. */
const girthWithin = 0.03;

/** "Sitka 30, girth 96": the one checks the other; where they do not go together it is asked which holds. */
function besideGirth(
  { scan, facts }: Finding,
  girth: NonNullable<TreeFacts['diameter']>,
  said: Quantity,
): Sizes {
  const diameter = diameterOf(said);
  const inSame =
    girth.unit === 'in' && diameter.unit === 'cm'
      ? 2.54
      : girth.unit === 'cm' && diameter.unit === 'in'
        ? 1 / 2.54
        : 1;
  const off = (girth.value * inSame) / (Math.PI * diameter.value) - 1;
  facts.diameter = diameter;
  if (Math.abs(off) > girthWithin) return { more: [], unsure: false, rival: girth };
  const at = scan.of('girth')[0];
  return { more: [], unsure: false, told: `girth ${scan.text(at, (at ?? 0) + 1)}` };
}

/** One diameter, the stems of one tree, or the diameters of several; undefined where they cannot be. */
function sizesOf(finding: Finding): Sizes | undefined {
  const { scan, facts, diameters } = finding;
  const [first, ...others] = diameters;
  if (first === undefined) return { more: [], unsure: false };
  const said = diameters.map((at) => scan.number(at));
  if (others.length > 0 && scan.pieces.some(({ text }) => /^(?:stems?|trunks?)$/.test(text))) {
    facts.stems = said.map(diameterOf);
    delete facts.count;
    return { more: [], unsure: false };
  }
  if (facts.diameter !== undefined)
    return others.length === 0 ? besideGirth(finding, facts.diameter, said[0]!) : undefined;
  facts.diameter = diameterOf(said[0]!);
  if (others.length === 0) return { more: [], unsure: false };
  // "Beech 7.5, say eight".
  if (others.length === 1 && isGuessed(scan, others[0]!))
    return { more: [], unsure: false, rival: diameterOf(said[1]!) };
  const last = said[1]!;
  const halves =
    said.length === 2 && last.unit === undefined && last.value <= 4.5 && (last.value * 2) % 1 === 0;
  if (halves && said[0]!.value >= 8 && facts.logs === undefined) {
    facts.logs = last.value;
    return { more: [], unsure: true };
  }
  if (facts.count !== undefined && facts.count !== said.length) return undefined;
  if (said.some(({ value }, at) => at > 0 && value < 3)) return undefined;
  delete facts.count;
  const unit = said.map((one) => diameterOf(one).unit).find((one) => one !== undefined);
  const [diameter, ...more] = said.map(({ value }) => ({ value, ...(unit === undefined ? {} : { unit }) }));
  if (diameter !== undefined) facts.diameter = diameter;
  return { more, unsure: false };
}

/** "Two snags, both hemlock": what is counted stands before the name. */
const isCounting = (scan: Scan, at: number): boolean =>
  /^(?:snags|trees|stems)$/.test(scan.pieces[at + 1]?.text ?? '');

/** "Three beeches", "3 x pine". */
function countsSpecies(scan: Scan, at: number): boolean {
  if (isDefinite(scan.pieces[at - 1]?.text)) return false;
  for (let to = at + 1; to < scan.pieces.length; to++) {
    const piece = scan.pieces[to]!;
    if (piece.is === 'species')
      return (
        piece.many === true ||
        (to === at + 2 && scan.pieces[at + 1]!.text === 'more') ||
        scan.numbers.some((other) => other > to) ||
        (to === at + 1 && scan.number(at).value < 5)
      );
    const passed = ['dead', 'live', 'times', 'next', 'each', 'ofThem'] as const;
    const between = piece.is === 'words' && (piece.light || passed.some((one) => piece.concepts.has(one)));
    if (!between && !(piece.is === 'break' && isCounting(scan, at))) return false;
  }
  return false;
}
