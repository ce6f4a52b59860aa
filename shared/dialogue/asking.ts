/**
 * Questions aloud. Each answer is short enough to be listened to standing still: number, unit, give or take. What is
 * longer (working, tables, sources, what was left out) goes to `detail`, for the page and for "why".
 */

import type { Book } from '../book/book.ts';
import { secondLookCode } from '../book/doubt-register.ts';
import { settingsInUse } from '../book/settings.ts';
import { totalsOf } from '../book/totals-of.ts';
import { diameterToInches, feetToMetres, type Units } from '../core/units.ts';
import { askFrom } from '../measuring/doubt/index.ts';
import type { Height, WorkingStep } from '../measuring/height/types.ts';
import type { Doubt } from '../note/acts.ts';
import { deviationText, sourceOf } from '../note/deviations.ts';
import { meantBy } from '../note/journal.ts';
import type { NoteOf } from '../note/note.ts';
import type { QuestionTopic } from '../note/question-topics.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { bestPlot, emptyPlots, followUp, place, plotList, remarksBack, whoMeasured } from './book-asked.ts';
import { effective, standing } from './device-entries.ts';
import { adviceSentence, shareSentence } from './heights.ts';
import { nameOfEntry } from './naming.ts';
import { type AnswerOf, type Context, type Outcome, refused, said } from './outcome.ts';
import { paceReply } from './pace-words.ts';
import { circle, soFar } from './plots-asked.ts';
import { secondDoubtsOfBook } from './second-look.ts';
import { speciesOf } from './species-of.ts';
import { plannedLeft } from './stand-plan.ts';
import { cautionFor } from './stands.ts';
import { together } from './together.ts';
import { extreme, isSummed, plotsNeededAnswer, samplingError, thisPlot, total } from './totals-answers.ts';
import {
  compared,
  counted,
  least,
  limit,
  listTrees,
  missing,
  ready,
  slenderness,
  treeMeant,
  treeNumbered,
} from './tree-lookups.ts';

type Ask = NoteOf<'ask'>;

/** The answer of each topic. */
const answers = {
  trees: total,
  plots: total,
  basalArea: total,
  density: total,
  volume: total,
  volumePerAcre: total,
  cubic: total,
  cords: total,
  biomass: total,
  carbon: total,
  meanHeight: total,
  lorey: total,
  topHeight: total,
  meanDiameter: total,
  quadraticDiameter: total,
  spread: total,
  totals: total,
  species: total,
  compared,
  together,
  slenderness,
  limit,
  counted,
  ready,
  missing,
  report: (context, note) => {
    const sums = total(context, { ...note, about: 'totals' });
    return { ...sums, say: (after, now) => `${sums.say(after, now)} ${inBook}` };
  },
  files: () => said(`All is kept as it is said. ${inBook}`),
  place,
  emptyPlots,
  plotList,
  remarks: remarksBack,
  whoMeasured,
  bestPlot,
  followUp: (context, note) => followUp(context, note, answerAsk),
  soFar,
  circle,
  samplingError,
  tallest: extreme,
  thickest: extreme,
  shortest: least,
  thinnest: least,
  plotsNeeded: neededAnswer,
  thisPlot,
  thisTree: (context) => lastHeight(context, true),
  lastHeight: (context) => lastHeight(context, false),
  treeNumbered,
  lastNotes,
  list: listTrees,
  howSure,
  why,
  doubts: ({ book, settings: { units } }) => doubts(book, units, secondDoubtsOfBook(book, units)),
  pace: ({ settings }) =>
    said(settings.pace ? paceReply(settings) : 'No pace yet. Walk a known distance and say the paces.'),
  eye: ({ settings: { eye, units } }) =>
    said(eye ? `Eye height ${wording.eyeHeight(eye.feet, units)}.` : 'No eye height yet.'),
  settings: (context) => said(settingsInUse(context.settings)),
  person: ({ settings: { person } }) =>
    said(person ? `${wording.sentence(person)}.` : 'Nobody was named here yet. Say, for one, crew Wren.'),
  expectedHeight: expected,
  help: ({ tongue }, { topic }) =>
    said(topic === undefined ? `You can say: ${tongue.hints().join('; ')}.` : tongue.help(topic)),
  safety: () =>
    said(
      `${cautionFor(true)} Stay out in wind, ice or lightning. Led by compass and paces, look out for cliffs, water and traffic, and tell somebody where you walk. A height here is never a clearance for felling: local rules and licensed practice decide.`,
    ),
  corrections: ({ book }) => corrections(book),
  phones: ({ phones }) => phones?.list() ?? refused('Ask for the phones alone.'),
  worth: ofLand,
  closure: ofLand,
  edgeArea: ofLand,
  legs: ofLand,
  plotsLeft: ofLand,
} satisfies Record<QuestionTopic, AnswerOf>;

/** Where the page has them (`take-away.tsx`). */
const inBook = 'The report and the table of trees are under Book, take it with you.';

/** How many more: of those that are planned, where no error is named, and for the error, where the plots tell one. */
function neededAnswer(context: Context, note: Ask): Outcome {
  const planned = note.percent === undefined && note.of === undefined ? plannedLeft(context) : null;
  return planned ?? plotsNeededAnswer(context, note);
}

function ofLand(context: Context, note: Ask): Outcome {
  return context.land?.ask(context, note) ?? refused('No edge was walked here yet. Say start a traverse.');
}

export const answerAsk: AnswerOf = (context, note) => answers[note.about](context, note);

/** "Read back the last three", "what did I just say": what this device did, the newest first. */
function lastNotes(context: Context, note: Ask): Outcome {
  const { book, deviceState, settings, tongue } = context;
  const names: string[] = [];
  for (const entry of effective(book, deviceState)) {
    names.push(wording.sentence(nameOfEntry(book, tongue, entry, settings.units)));
    if (names.length === (note.count ?? 1)) break;
  }
  return said(names.length === 0 ? 'Nothing was kept here yet.' : `${names.join('. ')}.`);
}

/** The height that a question is about: of the tree that it names, the last one measured, or that of the tree in hand. */
function heightInHand(context: Context, note: Ask): Height | null {
  const { book, deviceState } = context;
  const named = treeMeant(context, note);
  if (!named.ok) return null;
  if (named.value) return lastOf(named.value.heights.map((id) => book.height(id)))?.value ?? null;
  const open = deviceState.questions.at(-1);
  const node =
    book.height(deviceState.height) ??
    lastOf(book.tree(deviceState.tree)?.heights.map((id) => book.height(id)));
  if (open?.question.about === 'pace') return null;
  // With a new plot or tree in hand it is still the last one that was measured here.
  return node?.value ?? newestHeight(context);
}

/** The newest height of the stand in hand. */
function newestHeight({ book, device }: Context): Height | null {
  const stand = book.standOf(device)?.id ?? null;
  let newest: Height | null = null;
  for (const tree of book.trees())
    if (tree.stand === stand) newest = lastOf(tree.heights.map((id) => book.height(id)))?.value ?? newest;
  return newest;
}

/** Why there is no height to speak of. */
function noHeight(context: Context, note: Ask): Outcome {
  const named = treeMeant(context, note);
  if (!named.ok) return refused(named.error);
  return refused(
    named.value ? `Tree ${named.value.number} has no height yet.` : 'No height was measured yet.',
  );
}

function lastOf<T>(items: readonly (T | null)[] | undefined): T | null {
  return items?.findLast((item): item is T => item !== null) ?? null;
}

function lastHeight(context: Context, ofTree: boolean): Outcome {
  const { book, deviceState, settings } = context;
  const tree = book.tree(deviceState.tree);
  if (ofTree && !tree) return refused('No tree is in hand.');
  if (ofTree && tree) {
    const height =
      tree.heightFt !== null && tree.heightSdFt !== null
        ? `, ${wording.heightAndError(tree.heightFt, tree.heightSdFt, settings.units)}`
        : ', no height yet';
    return said(`Tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}${height}.`);
  }
  const node = book.height(deviceState.height);
  if (!node && tree)
    return said(`Tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}, no height yet.`);
  if (!node) return refused('No height was measured yet.');
  if (!node.value) return said('It waits for the pace or the eye height.');
  const of = book.tree(node.tree);
  const who = of ? `, tree ${of.number}, ${wording.speciesName(speciesKey(of))}` : '';
  return {
    ...said(
      `${wording.sentence(wording.heightAndError(node.value.feet, node.value.sdFeet, settings.units))}${who}.`,
    ),
    height: () => node.value,
  };
}

/** The sum that was asked right before: "how good is that" is of it. */
function sumBefore({ book, deviceState }: Context): Ask | null {
  const [last] = standing(book, deviceState);
  // What was only asked about was not answered.
  const before = last === undefined || last.asks !== undefined ? null : meantBy(last);
  return before?.kind === 'ask' && isSummed(before.about) ? before : null;
}

function howSure(context: Context, note: Ask): Outcome {
  const sum = note.tree === undefined && note.which === undefined ? sumBefore(context) : null;
  if (sum !== null) {
    const { scope, about } = sum;
    return samplingError(context, {
      kind: 'ask',
      about: 'samplingError',
      of: about,
      ...(scope === undefined ? {} : { scope }),
    });
  }
  const height = heightInHand(context, note);
  if (!height) return noHeight(context, note);
  const { units } = context.settings;
  const error = wording.length(height.sdFeet, units);
  const advice = adviceSentence(height);
  return {
    ...said(
      `Give or take ${error}: ${shareSentence(height)}.${advice ? ` ${advice}` : ''}`,
      workingOf(height, units),
    ),
    height: () => height,
  };
}

function why(context: Context, note: Ask): Outcome {
  const height = heightInHand(context, note);
  if (!height) {
    const { book, settings } = context;
    // A height that is asked about was not kept yet: why it is doubted is all there is to tell.
    const doubted = book.doubts.some(({ state }) => state === 'open');
    return doubted ? doubts(book, settings.units, []) : noHeight(context, note);
  }
  return {
    ...said(reasonOf(height, context.settings.units), workingOf(height, context.settings.units)),
    height: () => height,
  };
}

const unitWords: Record<WorkingStep['unit'], string> = {
  ft: ' feet',
  deg: ' degrees',
  pct: ' percent',
  paces: ' paces',
  steps: ' steps',
  ratio: '',
  topo: ' on the sixty-six foot scale',
};

/** "13 paces of 5.23 feet make 68; plus the eye, 5.3. Stick as long as your reach, so 45 degrees." */
function reasonOf(height: Height, units: Context['settings']['units']): string {
  const { steps, sketch, method } = height;
  const value = (name: RegExp): WorkingStep | undefined => steps.find((step) => name.test(step.name));
  const counted = steps.find((step) => step.unit === 'paces' || step.unit === 'steps');
  const pace = value(/^(pace|step)/i);
  const each = pace && { ...pace, value: pace.value * (counted?.unit === 'steps' ? 0.5 : 1) };
  const distance = sketch.distanceFt;
  const parts: string[] = [];
  if (counted && each && distance !== null) {
    parts.push(
      `${wording.digits(counted.value, 1)} ${counted.unit} of ${wording.paceLength(each.value, units)} make ${wording.length(distance, units, 1)}`,
    );
  } else if (distance !== null) parts.push(`the distance is ${wording.length(distance, units)}`);
  if (method === 'stick' && sketch.eyeFt !== null)
    parts.push(`plus the eye, ${wording.length(sketch.eyeFt, units)}`);
  const lead = parts.length > 0 ? `${wording.sentence(parts.join('; '))}. ` : '';
  return `${lead}${wording.sentence(height.formula.words)}`;
}

/** The whole working for the page: each value, where it came from, the formula and its source. */
function workingOf(height: Height, units: Units): string {
  const steps = height.steps.map(
    (step) =>
      `${step.name}: ${step.unit === 'ft' && units === 'metres' ? wording.length(step.value, units) : `${wording.digits(step.value, 2)}${unitWords[step.unit]}`}${step.from ? ` (${step.from})` : ''}`,
  );
  const shares = height.shares
    .filter((share) => share.part >= 0.005)
    .map((share) => `${share.cause} ${wording.digits(share.part * 100, 0)} %`);
  return [
    ...steps,
    `${height.formula.words} Source: ${height.formula.source}.`,
    `Standard deviation ${units === 'metres' ? `${wording.digits(feetToMetres(height.sdFeet), 2)} metres` : `${wording.digits(height.sdFeet, 2)} feet`}: ${shares.join(', ')}.`,
    ...height.assumed.map(
      ({ of, value }) => `Supposed error of ${deviationText(of, value, units)} (${sourceOf(of, value)}).`,
    ),
  ].join('\n');
}

/** What is open; who asks has come to an end, so accepted trees are looked at again (`looks`). */
function doubts(book: Book, units: Units, looks: readonly Doubt[]): Outcome {
  // What a second look says of a tree takes the place of what was only noticed when it was told.
  const lookedAt = new Set([
    ...looks.map(({ about }) => about ?? null),
    ...book.doubts.flatMap(({ state, tree, doubt }) =>
      state === 'open' && doubt.code === secondLookCode ? [tree] : [],
    ),
  ]);
  const open = book.doubts.filter(
    ({ state, tree, doubt }) =>
      state === 'open' && (doubt.code === secondLookCode || doubt.strength >= askFrom || !lookedAt.has(tree)),
  );
  const closed = book.doubts.filter((doubt) => doubt.state !== 'open');
  const marks = totalsOf(book).bookDoubts(units);
  if (open.length + marks.length + looks.length === 0) {
    const one = closed.at(-1);
    if (!one) return said('None.');
    const how = { kept: 'kept as it was', mended: 'mended', dropped: 'dropped', open: 'open' }[one.state];
    return said(`None open. ${closed.length} settled; the last was ${how}: ${one.doubt.sentence}`);
  }
  const sentences = [
    ...open.map(({ tree, doubt }) => {
      const number = book.tree(tree)?.number;
      return `${number ? `Tree ${number}: ` : ''}${doubt.sentence}`;
    }),
    ...looks.map(({ about, sentence }) => `Tree ${book.tree(about ?? null)?.number}: ${sentence}`),
    ...marks.map((mark) => mark.sentence),
  ];
  const more = sentences.length > 2 ? ` And ${sentences.length - 2} more on the page.` : '';
  return {
    ...said(`${sentences.length} open. ${sentences.slice(0, 2).join(' ')}${more}`, sentences.join('\n')),
    doubts: looks,
  };
}

function corrections(book: Book): Outcome {
  let retracted = 0;
  let changed = 0;
  for (const entry of book.entries) {
    for (const act of entry.acts) {
      if (act.act === 'retract') retracted += act.targets.length;
      if (act.act === 'remeasure' || (act.act === 'amend' && meantBy(entry).kind === 'change')) changed++;
    }
  }
  return said(`${changed} changed, ${retracted} scratched.`);
}

function expected(context: Context, note: Ask): Outcome {
  const { book, deviceState, settings } = context;
  const tree = book.tree(deviceState.tree);
  const inches = note.diameter ? diameterToInches(note.diameter, settings.units) : (tree?.diameterIn ?? null);
  if (inches === null) return refused('How thick? Say, how tall should a fourteen inch red oak be.');
  const ref = note.scope?.species;
  const species = ref === undefined ? (tree?.species ?? null) : speciesOf(context, ref);
  const code =
    species !== null && typeof species === 'object' ? ('code' in species ? species.code : null) : species;
  const guess = book.curve.predict(code, inches);
  const from =
    guess.n === 0 ? "by the species' usual height alone" : `by ${wording.treeCount(guess.n)} of this book`;
  return said(
    `About ${wording.length(guess.feet, settings.units, 5)}, between ${wording.length(guess.low90, settings.units, 5)} and ${wording.length(guess.high90, settings.units, 5)}, ${from}.`,
  );
}
