/** Correcting in free words: what is meant, and what it becomes. */
import type { Note, Which } from '../../shared/note/note.ts';
import { tellingWords } from '../../shared/note/species.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { factsOf } from './compose-facts.ts';
import { handOf, type Target, targetOf } from './compose-targets.ts';
import type { Quantity } from './said-numbers.ts';
import { type Draft, explain, plainLength, type Scan } from './scan.ts';

const tellingWord: ReadonlySet<string> = new Set(tellingWords);

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
  const angle = angleChange(mended);
  if (angle !== undefined) return angle;
  const corrects = scan.has('fix', 'no') || was !== undefined || wasSpecies !== undefined;
  if (!corrects && !(told && (target !== undefined || species.length > 0))) return undefined;
  if (species.length === 1) return speciesChange(mended, scan.name(species[0]!));
  const [at, ...more] = numbers;
  if (species.length > 0 || at === undefined || more.length > 0) return undefined;
  return isHeld(mended, at) ? heldChange(mended, scan.number(at)) : numberChange(mended, at);
}

function mendedOf(scan: Scan): Mended {
  const target = targetOf(scan);
  const own = new Set(target?.used ?? []);
  const not = scan.pieces.findIndex(({ concepts }) => concepts.has('not'));
  // What stands behind "not" is what it was.
  const behind = (at: number): boolean => not >= 0 && at > not && !own.has(at);
  const was = scan.numbers.find((at) => behind(at) && at < not + 4);
  const wasSpecies = scan.species.find(behind) ?? deniedWord(scan, not) ?? denied(scan, own);
  const instead = was ?? replacedNumber(scan, own);
  return {
    scan,
    target,
    own,
    was: instead,
    wasSpecies,
    species: scan.species.filter((at) => !own.has(at) && at !== wasSpecies),
    numbers: scan.numbers.filter((at) => !own.has(at) && at !== instead),
    told:
      isTold(scan) ||
      putting.test(scan.text()) ||
      isToldOfForemost(scan, target) ||
      (target?.which !== undefined && isPlaced(target.which)),
  };
}

/** "The smallest is a beech". */
const isToldOfForemost = (scan: Scan, target: Target | undefined): boolean =>
  target?.which?.most !== undefined &&
  /^(?:is|'s|was)$/.test(scan.pieces[Math.max(...target.used) + 1]?.text ?? '');

/** "It's a white oak, not a red": the word that tells it from another of its kind. */
function deniedWord(scan: Scan, not: number): number | undefined {
  const at = /^an?$/.test(scan.pieces[not + 1]?.text ?? '') ? not + 2 : not + 1;
  const last = at === scan.pieces.length - 1;
  return not > 0 && last && scan.species.length === 1 && tellingWord.has(scan.pieces[at]!.text)
    ? at
    : undefined;
}

/** "No beech, it is a willow": what it is not. */
function denied(scan: Scan, own: ReadonlySet<number>): number | undefined {
  const [first, second, ...more] = scan.species.filter((at) => !own.has(at));
  if (first === undefined || second === undefined || more.length > 0) return undefined;
  const no = scan.pieces[first - 1]?.text === 'no';
  return no && scan.pieces.slice(first, second).some(({ is }) => is === 'break') ? first : undefined;
}

/** "15 should be 17": what it was stands before. */
function replacedNumber(scan: Scan, own: ReadonlySet<number>): number | undefined {
  const [first, second, ...more] = scan.numbers.filter((at) => !own.has(at));
  if (first === undefined || second === undefined || more.length > 0 || scan.species.length > 0)
    return undefined;
  const [before, behind] = [scan.number(first), scan.number(second)];
  const alike = behind.unit === undefined || behind.unit === before.unit;
  const plain = alike && [first, second].every((at) => /^(?:bare|distance)$/.test(scan.label(at)));
  return plain &&
    /\b(?:should be|should have been|ought to be|is really|was really|is actually|was actually)\b/.test(
      scan.text(first, second),
    )
    ? first
    : undefined;
}

/** Another angle of the height in hand: "correct the angle to twenty eight", "the top again, seventy percent". */
function angleChange(mended: Mended): Draft | undefined {
  const { scan, target, told } = mended;
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0 || scan.species.length > 0 || target !== undefined)
    return undefined;
  const base = scan.has('base') && !scan.has('top', 'angle');
  if (!scan.has('top', 'base', 'angle') || !/^(?:bare|angle|percent|top|base)$/.test(scan.label(at)))
    return undefined;
  const corrects = scan.has('fix', 'again', 'no') || told || /\b(?:was|is|should)\b/.test(scan.text());
  if (!corrects || /\b(?:up|down|over|plus|minus)\b/.test(scan.text(0, at).replace(/^.*,/, '')))
    return undefined;
  const { value, unit, sign } = scan.number(at);
  const scale = unit === 'deg' || unit === 'pct' ? { unit } : {};
  const angle = { value: (sign ?? 1) * value, ...scale };
  const change: Note = base
    ? { kind: 'change', base: { by: 'angle', angle } }
    : { kind: 'change', top: angle };
  return {
    notes: [change],
    used: explain(scan, [at], [...changeWords, 'top', 'base', 'angle', 'again', 'here', 'laid', 'device']),
    against: 0.1,
    // Nobody says which side of the horizon it is on.
    ...(base && sign === undefined && value !== 0 ? { unsure: true } : {}),
  };
}

const putting =
  /\b(?:change|swap|swapped|switch|replace|make|it is$|ought to (?:be|say|read)|should (?:say|read)|supposed to|meant to|should be|i meant|is really|was really|is actually|call(?:ed)? it|said|heard)\b/;
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
  'has',
  'laid',
];

/** The tree as a change names it; undefined where it must be taken in hand first. */
function treeOfChange(target: Target | undefined): Pick<Change, 'tree' | 'of'> | undefined {
  if (target === undefined) return {};
  if (target.tree !== undefined) return { tree: target.tree };
  const { which } = target;
  return which !== undefined && (onlySpecies(which) || isPlaced(which)) ? { of: which } : undefined;
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

/** Another note in the place of the change. */
const changedBy = (mended: Mended, note: Note): Draft => ({ ...changed(mended, {}, []), notes: [note] });

function speciesChange(mended: Mended, name: string | number): Draft | undefined {
  const { scan, target, was, wasSpecies, told, own, numbers } = mended;
  if (was !== undefined) return undefined;
  // "Sugar, not red": the word that tells it from another of its kind, whatever else is called so.
  const [at] = mended.species;
  const word = at === undefined || target !== undefined ? '' : scan.pieces[at]!.text;
  const apart = wasSpecies !== undefined && scan.pieces[wasSpecies]!.is !== 'species';
  if (/^[a-z]+$/.test(word) && apart && numbers.length === 0)
    return changedBy(mended, { kind: 'pick', what: 'named', word });
  if (numbers.length === 0) {
    const of =
      wasSpecies === undefined || target?.which !== undefined || scan.pieces[wasSpecies]!.is !== 'species'
        ? {}
        : { of: { species: scan.name(wasSpecies) } };
    // "It's a hornbeam", "hornbeam it is" is what a tree is, before it is another.
    return changed(mended, { ...of, facts: { species: name } }, [], told ? 0 : 0.1);
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

/** "The 22 was a 20", "the middle one was 14": what that is a number of, only the book knows. */
function pointedChange(mended: Mended, said: Quantity): Draft | undefined {
  const { target, was } = mended;
  const number = plainLength(said);
  const size = soleSize(target);
  if (size !== undefined && was === undefined)
    return { ...changedBy(mended, { kind: 'change', of: { said: size }, number }), against: -0.1 };
  return target?.which !== undefined && isPlaced(target.which)
    ? changed(mended, { number }, ['lastButOne', 'last', 'close', 'off', 'in'], -0.1)
    : undefined;
}

/** "Sorry, the twelve has two": what is told to be had is no size. */
const isHeld = ({ scan, target }: Mended, at: number): boolean =>
  target !== undefined &&
  scan.label(at) === 'bare' &&
  /^(?:has|had|got)$/.test(scan.pieces[Math.max(...target.used) + 1]?.text ?? '');

/** It is logs, which is asked. */
function heldChange(mended: Mended, { value }: Quantity): Draft | undefined {
  if (value > mostLogs || (value * 2) % 1 !== 0 || mended.was !== undefined) return undefined;
  return { ...changed(mended, { facts: { logs: value } }, []), unsure: true };
}
const mostLogs = 6;

/** "The second one should say 12 paces". */
function walkedChange(mended: Mended, { unit, value }: Quantity): Draft | undefined {
  if (unit !== 'paces' && unit !== 'steps') return undefined;
  const { scan, target } = mended;
  const against = target !== undefined && scan.has('fix') ? -0.2 : 0.1;
  return changed(mended, { distance: { by: unit, count: value } }, ['pace', 'walk', 'off'], against);
}

function numberChange(mended: Mended, at: number): Draft | undefined {
  const { scan, target, was, own } = mended;
  const said = scan.number(at);
  const label = scan.label(at);
  const walked = walkedChange(mended, said);
  if (walked !== undefined) return walked;
  if (/^(?:girth|diameter|logs|defect)$/.test(label)) {
    const found = factsOf(scan, new Set([...own, ...(was === undefined ? [] : [was])]));
    return found === undefined ? undefined : changed(mended, { facts: found.facts }, found.concepts);
  }
  if (!/^(?:bare|distance|height|base|top)$/.test(label)) return undefined;
  // Of a tree that is named a bare number is its diameter, of the last thing said whatever that was.
  const byKind = target === undefined || treeOfChange(target) !== undefined;
  const pointed = label === 'bare' ? pointedChange(mended, said) : undefined;
  if (pointed !== undefined) return pointed;
  if (target !== undefined && label === 'bare' && (was === undefined || !byKind))
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
  const knocked = /^(?:knock|cut|bring|drop)\b/.test(scan.pieces[scan.at('fix')]?.text ?? '');
  if (knocked && label === 'bare' && target === undefined) {
    // What is knocked down may be the defect of the tree.
    const last = changed(mended, { number }, [], 0);
    return { ...last, other: [{ kind: 'change', facts: { defect: said.value } }], unsure: true };
  }
  return changed(mended, { number }, label === 'height' ? ['tall'] : ['off', 'base', 'top', 'walk'], against);
}

/** Told by its place: which that is, and whether of trees or of readings, only the book knows. */
const isPlaced = ({ back, middle }: Which): boolean => back !== undefined || middle !== undefined;

/** "The 22": a number alone, whatever it is of. */
const soleSize = (target: Target | undefined): number | undefined => {
  const { species, nth, diameter, ...rest } = target?.which ?? {};
  return species === undefined && nth === undefined && Object.keys(rest).length === 0 ? diameter : undefined;
};

const onlySpecies = ({ species, nth, diameter }: Which): boolean =>
  species !== undefined && nth === undefined && diameter === undefined;

/** "That's a", "it was a", "is really": what it is. */
const isTold = (scan: Scan): boolean =>
  scan.pieces.some(
    ({ text }, at) =>
      /^(?:is|'s|was|were|'d)$/.test(text) &&
      (at === 0 ||
        /^(?:that|it|this|one|they|those|tree|last one|that one|this one|that last|them|he|she)$/.test(
          scan.pieces[at - 1]!.text,
        ) ||
        scan.pieces[at - 1]!.is !== 'words'),
  );
