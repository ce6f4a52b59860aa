/** Trees in the dialogue: which tree the facts belong to, in the book's units, with what is odd about them. */

import type { Book, Tree } from '../book/book.ts';
import { err, ok, type Result } from '../core/result.ts';
import { diameterToInches, plain, type Units } from '../core/units.ts';
import { askFrom, doubtsOf } from '../measuring/doubt/index.ts';
import type { Act, Doubt, Question, TreeFields } from '../note/acts.ts';
import type { Measurement, Note, NoteOf, TreeFacts } from '../note/note.ts';
import { genusOfName, speciesByCode, speciesOfNickname, spokenName } from '../note/species.ts';
import { borderMark } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { differing } from './another-tree.ts';
import { heightWithTree } from './bare-lengths.ts';
import { heightOutcome } from './heights.ts';
import { askIfBelow } from './least-diameter.ts';
import { asking, type Context, feetOf, kept, type Outcome, refused } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { speciesOf } from './species-of.ts';
import { askAmong, askWhetherNew, treeOf, treesMeant } from './which-tree.ts';
import { whoseHeight } from './whose-height.ts';

/** Facts as the book keeps them: inches, feet. The species may have to be asked for. */
export function treeFields(
  context: Context,
  facts: TreeFacts,
  inHandIn: number | null = null,
): Result<{ fields: TreeFields; askAmong: readonly number[] | null; nickname: string | null }, string> {
  const { settings } = context;
  const fields: TreeFields = {};
  let askAmong: readonly number[] | null = null;
  let nickname: string | null = null;
  if (facts.species !== undefined) {
    const species = speciesOf(context, facts.species);
    if ('code' in species) fields.species = species.code;
    else {
      // Kept at the depth that was said; a name that no species bears ("unknown hardwood") is asked about no further.
      nickname = String(facts.species);
      // The genus that was said holds until somebody says more; what has no code of its own is kept by its name.
      const genus = genusOfName(nickname);
      askAmong = species.codes.length > 0 ? species.codes : null;
      fields.species = genus ?? null;
      fields.called = genus === undefined ? nickname : null;
    }
  }
  if (facts.diameter) {
    const inches = diameterToInches(facts.diameter, settings.units);
    if (!(inches > 0)) return err(`Expected a diameter above zero; found ${plain(inches)} inches.`);
    fields.diameterIn = inches;
  }
  if (facts.stems) fields.diameterIn = oneStemOf(facts.stems, fields.diameterIn ?? inHandIn, settings.units);
  const rest = otherFields(context, facts);
  return rest.ok ? ok({ fields: { ...fields, ...rest.value }, askAmong, nickname }) : rest;
}

/** All that is said of a tree beside its species and diameter. */
function otherFields(context: Context, facts: TreeFacts): Result<TreeFields, string> {
  const { settings } = context;
  const fields: TreeFields = {};
  if (facts.plot !== undefined) {
    const plot = plotMeant(context, facts.plot);
    if (!plot) return err(`There is no plot ${facts.plot}.`);
    fields.plot = plot.id;
  }
  if (facts.border) {
    fields.counted = facts.border !== 'out';
    fields.half = facts.border === 'half';
  } else if (facts.marks?.includes(borderMark)) Object.assign(fields, borderRule(context));
  if (facts.logs !== undefined) fields.logs = facts.logs;
  if (facts.merch) {
    const feet = feetOf(facts.merch, 'distance', settings.units);
    if (!feet.ok) return feet;
    fields.merchFt = feet.value;
  }
  if (facts.status) fields.status = facts.status;
  if (facts.marks) fields.marks = facts.marks;
  if (facts.unmarked) fields.unmarked = facts.unmarked;
  if (facts.defect !== undefined) fields.defectPct = facts.defect;
  if (facts.count !== undefined) fields.count = facts.count;
  if (facts.formClass !== undefined) fields.formClass = facts.formClass;
  return ok(fields);
}

/** As the last borderline tree of the stand was counted, so is the next. */
function borderRule({ book, device }: Context): TreeFields {
  const stand = book.standOf(device)?.id ?? null;
  let last: Tree | undefined;
  for (const tree of book.trees()) if (tree.marks.includes(borderMark) && tree.stand === stand) last = tree;
  if (last === undefined) return {};
  return last.counted ? (last.half ? { half: true } : {}) : { counted: false };
}

/**
 * The diameter of one stem with the basal area of all: the square root of the sum of their squares. Stems that are said
 * of a tree with a diameter come to it. Common practice for trees that fork below breast height, no source.
 */
function oneStemOf(stems: NonNullable<TreeFacts['stems']>, first: number | null, units: Units): number {
  const all = [...(first === null ? [] : [first]), ...stems.map((stem) => diameterToInches(stem, units))];
  return Math.sqrt(all.reduce((sum, inches) => sum + inches * inches, 0));
}

/** A bare number as a diameter; a unit that no diameter has is left out. */
export function asDiameter(number: {
  readonly value: number;
  readonly unit?: string | undefined;
}): NonNullable<TreeFacts['diameter']> {
  const { value, unit } = number;
  // "Make that two feet": a diameter in a unit that is not used for one.
  if (unit === 'ft') return { value: value * 12, unit: 'in' };
  if (unit === 'm') return { value: value * 100, unit: 'cm' };
  return unit === 'in' || unit === 'cm' ? { value, unit } : { value };
}

/** "birch" for the code of the genus; null for a species. */
function genusName(code: number): string | null {
  const name = spokenName(speciesByCode(code)?.commonName ?? '');
  return genusOfName(name) === code ? name : null;
}

/** Whether a tree is known to be something, and not said closer: "birch", then "yellow birch". */
export function isOtherSpecies({ species, called }: Tree, facts: TreeFacts): boolean {
  const name = species === null ? (called ?? null) : genusName(species);
  const closer =
    name !== null && typeof facts.species === 'number' && speciesOfNickname(name).includes(facts.species);
  return (species !== null || name !== null) && !closer;
}

/** Facts begin a new tree when none is in hand, or when they give again what it already has. */
function beginsTree(deviceState: Tree | null, facts: TreeFacts): boolean {
  if (!deviceState) return true;
  if (facts.count !== undefined) return true;
  // "I'll have it, sitka forty four": how thick the one on the border is that was told just now.
  if (isSizeOfBorder(deviceState, facts)) return false;
  return (
    (facts.species !== undefined && isOtherSpecies(deviceState, facts)) ||
    (facts.diameter !== undefined && deviceState.diameterIn !== null)
  );
}

/** How thick a tree on the border is, of which only the kind was told. */
const isSizeOfBorder = ({ species, called, diameterIn }: Tree, { border, ...facts }: TreeFacts): boolean =>
  border !== undefined &&
  diameterIn === null &&
  (facts.species === species || facts.species === called) &&
  facts.count === undefined;

/** A height in the same breath as a species or a diameter, from which the tree in hand differs: that is no fact of it. */
function isOfAnother(context: Context, { facts, height }: NoteOf<'tree'>, inHand: Tree | null): boolean {
  const { behind } = context;
  const measured = height ?? (behind?.kind === 'height' ? behind.height : undefined);
  if (inHand === null || measured === undefined) return false;
  if (facts.species === undefined && facts.diameter === undefined) return false;
  return differing(context, measured, inHand) !== null;
}

/** The plot that a tree stands on, or will. */
const plotOf = (tree: Tree | null, { plot }: Context['deviceState']): string | null =>
  tree === null ? plot : tree.plot;

/** A tree that begins, or more of the one in hand; on a plot that somebody else took it is that person's. */
export function treeOutcome(
  context: Context,
  note: NoteOf<'tree'>,
  how: { readonly sure?: boolean } = {},
): Outcome {
  const outcome = whoseHeight(context, note) ?? factsOutcome(context, note, how.sure === true);
  const begun = outcome.acts.find((act) => act.act === 'tree');
  const plot = begun?.fields.plot ?? context.deviceState.plot;
  return begun === undefined ? outcome : { ...outcome, ...personOfPlot(context, plot) };
}

/** Why facts can be of no tree; null where they can. */
function unfitFacts(
  { afterRefusal }: Context,
  facts: NoteOf<'tree'>['facts'],
  begins: boolean,
): string | null {
  if (begins)
    return isBeginning(facts)
      ? null
      : 'No tree is in hand. Say its species or diameter first, then the rest.';
  // "Count it" behind a tree that was not kept is of no tree before it.
  return afterRefusal === true && Object.keys(facts).join() === 'border'
    ? 'Nothing of that was kept. Say the tree again, and whether it is in.'
    : null;
}

function factsOutcome(context: Context, note: NoteOf<'tree'>, sure: boolean): Outcome {
  const { book, deviceState, settings, id } = context;
  const inHand = book.tree(deviceState.tree);
  const { facts } = note;
  const begun = beginsTree(inHand, facts) || isOfAnother(context, note, inHand) ? null : inHand;
  const begins = begun === null;
  const unfit = unfitFacts(context, facts, begins);
  if (unfit !== null) return refused(unfit);
  const made = treeFields(context, facts, begun?.diameterIn ?? null);
  if (!made.ok) return refused(made.error);
  const { fields, askAmong, nickname } = made.value;
  // Logs or a mark say nothing of size: what was odd before was told then.
  const sized = begins || facts.species !== undefined || fields.diameterIn != null;
  const doubts = sure || !sized ? [] : treeDoubts(context, note, fields, begun);
  const strongest = doubts.find((doubt) => doubt.strength >= askFrom);
  if (strongest) {
    return asking(
      {
        about: 'doubt',
        text: strongest.sentence,
        options: strongest.slips
          .slice(0, 3)
          .map((slip) => ({ say: context.tongue.speak(slip.note), note: slip.note })),
        pending: note,
        ...(begun === null ? {} : { target: begun.id }),
      },
      [],
      { doubts },
    );
  }
  const below = askIfBelow(
    { ...context, sure: sure || context.sure === true },
    note,
    fields.diameterIn,
    begun?.id,
  );
  if (below !== null) return asking(below);
  const act: Act = begun === null ? { act: 'tree', id, fields } : { act: 'amend', target: begun.id, fields };
  if (begins && isTally(facts)) return tallied(context, act);
  const target = begun?.id ?? id;
  const stemBefore = facts.diameter !== undefined || (begun !== null && begun.diameterIn !== null);
  const facted = (after: Book): string => {
    const tree = after.tree(target);
    if (!tree) return 'Kept';
    const stems = facts.stems ? `, of ${facts.stems.length + (stemBefore ? 1 : 0)} stems` : '';
    const out =
      facts.border === 'out' ? ', out: not counted' : facts.border === 'in' && !begins ? ', in' : '';
    const plot = facts.plot === undefined ? '' : `, on plot ${facts.plot}`;
    return `Tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}${stems}${out}${plot}`;
  };
  const { which, open, before } = askedOnce(
    context,
    askAmong === null || nickname === null ? null : speciesQuestion(nickname, askAmong, target),
    begins,
  );
  if (note.height) {
    // A height under doubt keeps the tree and asks about the height alone.
    const of = judgedAs(fields, begun);
    const { outcome, meant } = heightWithTree(context, note.height, { note, tree: target, act, of });
    return asMeant(withHeight(outcome, act, facted, which), note, meant);
  }
  const say = (after: Book): string => {
    const heightless = after.tree(target)?.status === 'dead' && begins ? ' No height needed.' : '';
    const warning = doubts[0] ? ` ${doubts[0].sentence}` : '';
    return `${facted(after)}.${heightless}${warning}${open ? ` Which ${nickname} is still open.` : ''}`;
  };
  if (which)
    return asking(which, [act], {
      doubts,
      say: (after) => `${facted(after)}. ${which.text}`,
      // Put once more behind another question, it takes the place of the one before.
      ...before,
    });
  return { state: 'kept', acts: [act], doubts, say };
}

/**
 * The question of a species as it is put now. `open`: it was put just before, and its answer is of this tree, too; `before`:
 * put once more behind another question, it takes the place of the one before.
 */
function askedOnce(
  { deviceState: { questions } }: Context,
  which: Question | null,
  begins: boolean,
): {
  readonly which: Question | null;
  readonly open: boolean;
  readonly before?: { readonly settles: string };
} {
  const before =
    begins && which ? questions.findLast(({ question }) => question.text === which.text) : undefined;
  if (before === undefined) return { which, open: false };
  const open = before === questions.at(-1);
  return { which: open ? null : which, open, before: { settles: before.entry } };
}

/** What is odd about a tree as it would be. */
const treeDoubts = (
  context: Context,
  note: NoteOf<'tree'>,
  fields: TreeFields,
  begun: Tree | null,
): readonly Doubt[] =>
  doubtsOf(
    {
      kind: 'tree',
      note,
      diameterIn: fields.diameterIn ?? null,
      species: fields.species ?? begun?.species ?? null,
    },
    {
      settings: context.settings,
      curve: context.book.curve,
      tree: begun,
      plot: plotOf(begun, context.deviceState),
      others: context.others,
    },
  );

/** Who took a plot of which somebody else tells: its trees are theirs, too. */
function personOfPlot({ book }: Context, plot: string | null): { readonly person?: string } {
  const entry = plot === null ? undefined : book.entry(plot);
  return entry?.note.kind === 'plot' && entry.note.by !== undefined && entry.person !== undefined
    ? { person: entry.person }
    : {};
}

/** What tells that a tree is there. */
const isBeginning = ({ species, diameter, count, stems }: TreeFacts): boolean =>
  [species, diameter, count, stems].some((one) => one !== undefined);

/** Trees that were counted and nothing else. */
const isTally = (facts: TreeFacts): boolean =>
  facts.count !== undefined &&
  facts.species === undefined &&
  facts.diameter === undefined &&
  facts.stems === undefined;

/** So many trees; what is told next begins another, as nobody tells of so many what they are. */
const tallied = ({ id }: Context, act: Act): Outcome =>
  kept([act, { act: 'next' }], (after) => {
    const tree = after.tree(id);
    if (!tree) return 'Kept.';
    const plot = after.plot(tree.plot);
    const here = plot
      ? `${tree.marks.length > 0 ? ',' : ''} on plot ${plot.number}: ${wording.treeCount(after.ledger.treesOnPlot(plot.id))}`
      : '';
    const marks = tree.marks.length > 0 ? `, ${tree.marks.join(', ')}` : '';
    return `Counted ${tree.count}${marks}${tree.half ? ', each as half' : ''}${tree.counted ? '' : ', not in'}${here}.`;
  });

/** The tree as it will be, for judging a height that was said with it. */
const judgedAs = (fields: TreeFields, begun: Tree | null) => ({
  species: fields.species ?? begun?.species ?? null,
  diameterIn: fields.diameterIn ?? begun?.diameterIn ?? null,
  heightFt: begun?.heightFt ?? null,
  marks: fields.marks ?? begun?.marks ?? [],
  status: fields.status ?? begun?.status ?? 'live',
});

/** The question which species is meant by a name that several bear; `target` is the tree. */
export function speciesQuestion(nickname: string, codes: readonly number[], target: string): Question {
  const options = codes.slice(0, 6).map((code) => ({
    say: speciesByCode(code)?.commonName ?? String(code),
    note: { kind: 'tree', facts: { species: code } } as Note,
  }));
  const names = wording.list(
    options.map((option) => option.say),
    'or',
  );
  return { about: 'species', text: `Which ${nickname}: ${names}?`, options, target };
}

/** A tree with its height as it was meant, where that is not as it was said. */
const asMeant = (outcome: Outcome, note: NoteOf<'tree'>, height: Measurement): Outcome =>
  height === note.height ? outcome : { ...outcome, means: { ...note, height } };

/** The tree, then its height; the question about the height first, else that about the species. Nothing said is lost. */
function withHeight(
  outcome: Outcome,
  tree: Act,
  facted: (after: Book) => string,
  which: Question | null,
): Outcome {
  // What waits for more than its height is told when it is kept.
  if (outcome.asks !== undefined && outcome.acts.length === 0) return outcome;
  if (outcome.state === 'refused')
    return {
      ...(which ? asking(which, [tree]) : kept([tree], facted)),
      say: (after, now) =>
        `${facted(after)}, without the height. ${outcome.say(after, now)}${which ? ` ${which.text}` : ''}`,
    };
  const say: Outcome['say'] = (after, now) =>
    `${facted(after)}${outcome.asks ? '.' : ':'} ${outcome.asks ? outcome.say(after, now) : wording.lowered(outcome.say(after, now))}`;
  if (!which || outcome.asks) return { ...outcome, say };
  return {
    ...outcome,
    state: 'asking',
    asks: which,
    say: (after, now) => `${say(after, now)} ${which.text}`,
  };
}

/**
 * "The holly, eleven paces" where no holly stands yet: what is measured of it in the same breath says that it begins. A
 * number or a size that names no tree is a slip, and begins none.
 */
function begun(context: Context, { which, height }: NoteOf<'hand'>): Outcome | undefined {
  const { behind } = context;
  const measured =
    height !== undefined ||
    behind?.kind === 'height' ||
    (behind?.kind === 'tree' && behind.facts.diameter !== undefined);
  if (!measured || which?.species === undefined || which.nth !== undefined || which.diameter !== undefined)
    return undefined;
  const means: Note = {
    kind: 'tree',
    facts: { species: which.species },
    ...(height === undefined ? {} : { height }),
  };
  return { ...treeOutcome(context, means), means };
}

/** The height said last, where it is of no tree. */
export function looseHeight({ book, deviceState }: Context): string | null {
  if (deviceState.tree !== null) return null;
  const node = book.height(deviceState.height);
  return node !== null && node.tree === null ? node.id : null;
}

/** "Same tree" behind a height of no tree: it is of one that begins, and so is what comes now. */
function withLooseHeight(context: Context, note: NoteOf<'hand'>, loose: string): Outcome {
  const { id } = context;
  const before: Act[] = [
    { act: 'tree', id, fields: {} },
    { act: 'assign', target: loose, tree: id },
  ];
  const named = (after: Book): string => `Tree ${after.tree(id)?.number ?? ''}`;
  if (!note.height) return kept([...before, { act: 'hand', target: id }], (after) => `${named(after)}.`);
  const measured: Note = { kind: 'height', height: note.height };
  const outcome = heightOutcome({ ...context, afterRefusal: false }, note.height, id, measured, { before });
  return withHeight(outcome, before[0]!, named, null);
}

/** By number or kind; without either it is the one in hand, or the last. */
function treeMeant(context: Context, { tree, which }: NoteOf<'hand'>): Result<Tree, string> {
  const { book, deviceState } = context;
  const inHand = tree === undefined && which === undefined ? book.tree(deviceState.tree) : null;
  if (inHand !== null) return ok(inHand);
  if (tree === undefined && which === undefined && book.lastTree === null)
    return err('No tree was told yet. Say its species or diameter first.');
  if (tree === undefined) return treeOf(context, which ?? {});
  const numbered = book.treeNumbered(tree);
  return numbered ? ok(numbered) : err(`There is no tree ${tree}.`);
}

/** "For tree two", "the second oak": it is in hand again, and what was said of its height is its own. */
export function handOutcome(context: Context, note: NoteOf<'hand'>): Outcome {
  const { settings } = context;
  const among = note.which === undefined ? [] : treesMeant(context, note.which);
  if (among.length > 1)
    return askAmong(
      among,
      (tree) => ({ kind: 'hand', tree, ...(note.height ? { height: note.height } : {}) }),
      settings.units,
    );
  const meant = treeMeant(context, note);
  const loose = note.tree === undefined && note.which === undefined ? looseHeight(context) : null;
  if (loose !== null) return withLooseHeight(context, note, loose);
  if (!meant.ok) {
    const told =
      note.height !== undefined || /^(?:tree|remark|height|change)$/.test(context.behind?.kind ?? '');
    const height = note.height === undefined ? {} : { height: note.height };
    const asked = told ? askWhetherNew(note.which, {}, height, meant.error) : undefined;
    return begun(context, note) ?? asked ?? refused(meant.error);
  }
  const { id } = meant.value;
  const act: Act = { act: 'hand', target: id };
  const named = (after: Book): string => {
    const tree = after.tree(id);
    return tree ? `Tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}` : 'Kept';
  };
  if (!note.height) return kept([act], (after) => `${named(after)}.`);
  const measured: Note = { kind: 'height', height: note.height };
  const outcome = heightOutcome({ ...context, afterRefusal: false }, note.height, id, measured, {
    before: [act],
  });
  return withHeight(outcome, act, named, null);
}

export function againOutcome(context: Context, { count, facts, same }: NoteOf<'again'>): Outcome {
  const last = context.book.tree(context.deviceState.tree) ?? context.book.lastTree;
  if (!last) return refused('There is no tree yet to repeat.');
  const all: TreeFields = {
    species: last.species,
    ...(last.called ? { called: last.called } : {}),
    diameterIn: last.diameterIn,
    logs: last.logs,
    merchFt: last.merchFt,
    status: last.status,
    ...(count === undefined ? {} : { count }),
    ...(last.marks.length > 0 ? { marks: [...last.marks] } : {}),
  };
  if (facts) {
    // "Another, eighteen": the species of the last one, all else as it is said.
    const kind: TreeFields = { species: last.species, ...(last.called ? { called: last.called } : {}) };
    const of = same === true ? all : kind;
    const made = treeFields(context, facts);
    if (!made.ok) return refused(made.error);
    const fields: TreeFields = { ...of, ...made.value.fields, ...(count === undefined ? {} : { count }) };
    const named = last.species === null ? {} : { species: last.species };
    const below = askIfBelow(context, { kind: 'tree', facts: { ...named, ...facts } }, fields.diameterIn);
    if (below !== null) return asking(below);
    return kept([{ act: 'tree', id: context.id, fields }], (book) => {
      const tree = book.tree(context.id);
      return tree ? `Tree ${tree.number}, ${wording.treeFacts(tree, context.settings.units)}.` : 'Kept.';
    });
  }
  return kept([{ act: 'tree', id: context.id, fields: all }], (book) => {
    const tree = book.tree(context.id);
    return tree
      ? `Tree ${tree.number}, the same: ${wording.treeFacts(tree, context.settings.units)}.`
      : 'Kept.';
  });
}
