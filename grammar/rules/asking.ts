/** Questions aloud, with what they are narrowed to. */
import type { Note, QuestionTopic } from '../../shared/note.ts';
import type { Rule } from '../model.ts';

const family = 'Asking';
const ask = (about: QuestionTopic, more: object = {}): Note => ({ kind: 'ask', about, ...more }) as Note;

/** Which trees: species, place, day, person; each may be left out. */
const scopeRules: readonly Rule[] = [
  { id: 'ofSpecies', patterns: ['(of | for | in) [the | all] <scope/species>'] },
  {
    id: 'where',
    patterns: [
      '(on | in | for | of) (this plot | the plot | here) {scope.plot=this}',
      '(on | in | for | of) plot <count:1..60> {scope.plot=#}',
      'here {scope.plot=this}',
      '(in | on | for) [the] stratum <word+> {scope.stratum=@}',
    ],
  },
  { id: 'when', patterns: ['today {scope.day=today}', 'yesterday {scope.day=yesterday}'] },
  { id: 'by', patterns: ['(by | from) crew <word+> {scope.person=@}', 'by <scope/byPerson>'] },
  {
    id: 'state',
    patterns: [
      'dead {scope.status=dead}',
      '(live | living | alive) {scope.status=live}',
      'cull {scope.status=cull}',
    ],
  },
  {
    id: 'askLead',
    patterns: ["(what's | what is | what are | give me | tell me | show me | show | read | read me) [the]"],
  },
  { id: 'within', patterns: ['[so far] [<where>] [<when>] [<by>]'] },
  {
    id: 'scoped',
    patterns: [
      '[<ofSpecies>] <within>',
      '<where> <ofSpecies>',
      '(of | for) [the] <state> (trees | ones) <within>',
    ],
  },
];

/** Topics of totals: how each is asked. All may be narrowed. */
const totalsAsked: readonly {
  readonly about: QuestionTopic;
  readonly help: string;
  readonly words: readonly string[];
  readonly weight?: number;
}[] = [
  {
    about: 'basalArea',
    help: 'Basal area.',
    words: [
      'basal area',
      'total basal area',
      'basal area per (acre | hectare)',
      'how much basal area [is there]',
    ],
  },
  {
    about: 'density',
    help: 'Trees per acre or hectare.',
    words: [
      'trees (per acre | per hectare | an acre | a hectare)',
      'how many trees (per acre | per hectare)',
      'stocking',
      'density',
    ],
  },
  {
    about: 'biomass',
    help: 'Above-ground biomass.',
    words: ['biomass', 'biomass per (acre | hectare)', 'how much biomass [is there]', 'dry weight'],
  },
  {
    about: 'carbon',
    help: 'Carbon above ground.',
    words: ['carbon', 'carbon per (acre | hectare)', 'how much carbon [is there]'],
  },
  {
    about: 'meanHeight',
    help: 'Mean of the heights.',
    words: ['(mean | average) height', 'how tall on average', 'how tall are they'],
  },
  {
    about: 'lorey',
    help: 'Mean height weighted by basal area.',
    words: ['(lorey | loreys | weighted) [mean] height', 'lorey'],
  },
  {
    about: 'topHeight',
    help: 'Height of the thickest trees.',
    words: ['top height', 'dominant height', 'height of the thickest'],
  },
  {
    about: 'meanDiameter',
    help: 'Mean of the diameters.',
    words: ['(mean | average) (diameter | dbh)', 'how thick on average'],
  },
  {
    about: 'quadraticDiameter',
    help: 'Diameter of the tree of mean basal area.',
    words: ['quadratic [mean] diameter', 'q m d', 'qmd'],
  },
  {
    about: 'tallest',
    help: 'The tallest tree.',
    words: [
      'tallest tree',
      'tallest',
      'the tallest',
      'which [tree] is the tallest [tree]',
      'how tall is the tallest [tree]',
    ],
  },
  {
    about: 'thickest',
    help: 'The thickest tree.',
    words: [
      '(thickest | biggest | fattest | largest) tree',
      '(thickest | biggest | fattest)',
      'largest diameter',
      'biggest diameter',
    ],
  },
  {
    about: 'spread',
    help: 'How much plots or heights differ: standard error and limits.',
    words: ['(standard | sampling) error', 'spread', 'confidence limits', 'how far off are the totals'],
  },
  {
    about: 'totals',
    help: 'Everything in short.',
    words: ['totals', 'running total', 'summary', 'where are we', 'what have we got', 'how are we doing'],
  },
  {
    about: 'species',
    help: 'Which species, and how many of each.',
    words: ['by species', 'which species', 'species list', 'what species', 'what species have we got'],
  },
];

/** Topics that are not narrowed. */
const plainlyAsked: readonly {
  readonly about: QuestionTopic;
  readonly help: string;
  readonly words: readonly string[];
}[] = [
  {
    about: 'thisPlot',
    help: 'The plot in hand.',
    words: [
      'this plot',
      '(what | which) plot [is this | am i on]',
      'how is this plot',
      'where am i',
      'total for this plot',
    ],
  },
  {
    about: 'thisTree',
    help: 'The tree in hand.',
    words: [
      'this tree',
      '(what | which) tree [is this | am i on]',
      '[what was the] last tree',
      'read (that | it | the tree) back [to me]',
      'read back that tree',
      'what did i say last',
      'what did i last say',
      'what have you got',
    ],
  },
  {
    about: 'lastHeight',
    help: 'The last height again.',
    words: [
      'last height',
      'how tall was (that | it | the last one)',
      'what was (that | the [last]) height',
      'what was the last one',
      'how tall is (it | that | this tree)',
      'read back the last one',
    ],
  },
  {
    about: 'howSure',
    help: 'The error of the last height and what makes it.',
    words: [
      'how sure are you [(of | about) (that | it)]',
      'how sure [is (that | it)]',
      'are you sure',
      "what's the error [(on | of) (that | it)]",
      'what is the error [(on | of) (that | it)]',
      'how good is that',
      'give or take',
      'plus or minus what',
      'what makes it [so] uncertain',
    ],
  },
  {
    about: 'why',
    help: 'The working behind the last answer.',
    words: [
      'why',
      'why is that',
      'why so (tall | high | short | low)',
      'how come',
      'show the working',
      'how did you get that',
      'explain [that]',
      'where does that come from',
    ],
  },
  {
    about: 'doubts',
    help: 'What is still in doubt.',
    words: [
      '[any] doubts [left]',
      '(doubtful | suspicious) (trees | heights)',
      'what is in doubt',
      'are there any doubts [left]',
      "what's wrong",
      "what's in doubt",
      'anything (wrong | odd | doubtful)',
      'is that right',
      'show [me] the doubts',
    ],
  },
  {
    about: 'pace',
    help: 'The pace in use.',
    words: [
      "what's (my | the) pace [set to]",
      'what is (my | the) pace',
      'how long is my pace',
      'which pace',
    ],
  },
  {
    about: 'eye',
    help: 'The eye height in use.',
    words: ["what's my eye [height]", 'what is my eye [height]', 'how high is my eye'],
  },
  {
    about: 'settings',
    help: 'All settings in use.',
    words: [
      'settings',
      'what are (my | the) settings',
      "what's the log rule",
      'which log rule [are we using]',
      'which units',
      'read the settings',
      "what's set",
    ],
  },
  {
    about: 'help',
    help: 'What can be said now.',
    words: [
      'what can i (say | ask) [here | now]',
      'help [me]',
      'what now',
      'what do you understand',
      'how do i say it',
      'what can you do',
    ],
  },
  {
    about: 'safety',
    help: 'The cautions.',
    words: ['safety', 'is it safe', 'cautions', 'what should i look out for'],
  },
  {
    about: 'corrections',
    help: 'What was changed or scratched.',
    words: [
      'corrections',
      'what did i (change | correct | scratch)',
      'what was (changed | corrected | scratched)',
      'changes',
    ],
  },
];

const first = (words: string): string =>
  words
    .replace(/ ?\[[^\]]*\]/g, '')
    .replace(/\((\w[^|()]*?) ?\|[^)]*\)/g, '$1')
    .trim();

export const askingRules: readonly Rule[] = [
  ...scopeRules,
  {
    id: 'asking.trees',
    family,
    help: 'How many trees were measured, of a species, on a plot, dead or alive, today.',
    sets: ['kind=ask', 'about=trees'],
    weight: 1,
    patterns: [
      'how many [<state>] trees [are there | have we got | do we have | did we do] <scoped>',
      'how many [<state>] <scope/species> [trees | are there | have we got | do we have] <within>',
      '(tree count | count of trees | number of trees | total trees) <scoped>',
      'how many (dead {scope.status=dead} | cull {scope.status=cull} | living {scope.status=live}) <within>',
    ],
    examples: [
      { words: 'how many trees', note: ask('trees') },
      { words: 'how many red oaks on plot seven', note: ask('trees', { scope: { species: 833, plot: 7 } }) },
      { words: 'how many dead trees today', note: ask('trees', { scope: { status: 'dead', day: 'today' } }) },
      { words: 'how many trees in stratum ridge', note: ask('trees', { scope: { stratum: 'ridge' } }) },
    ],
  },
  {
    id: 'asking.plots',
    family,
    help: 'How many plots are done.',
    sets: ['kind=ask', 'about=plots'],
    patterns: [
      'how many plots [have (we | i) (got | done) | are done | did (we | i) do] <within>',
      '(plot count | number of plots) <within>',
    ],
    examples: [
      { words: 'how many plots', note: ask('plots') },
      { words: 'how many plots have we done today', note: ask('plots', { scope: { day: 'today' } }) },
      { words: 'how many plots in stratum mill lot', note: ask('plots', { scope: { stratum: 'mill lot' } }) },
    ],
  },
  {
    id: 'asking.volume',
    family,
    help: 'Volume, in all or per acre or hectare, by a log rule where one is named.',
    sets: ['kind=ask'],
    weight: 1,
    patterns: [
      '([<askLead>] [total] volume | board feet | how (much volume | many board feet) [is there | are there | have we got | do we have]) {about=volume} <scoped> [by <logRule>]',
      '([<askLead>] volume | board feet | how much volume) (per acre | per hectare | an acre | a hectare) {about=volumePerAcre} <scoped> [by <logRule>]',
      '<logRule> (volume {about=volume} | volume per acre {about=volumePerAcre})',
    ],
    examples: [
      { words: 'volume per acre by doyle', note: ask('volumePerAcre', { rule: 'doyle' }) },
      { words: 'volume of red oak', note: ask('volume', { scope: { species: 833 } }) },
      {
        words: 'board feet per acre of sugar maple by international',
        note: ask('volumePerAcre', { scope: { species: 318 }, rule: 'international' }),
      },
    ],
  },
  {
    id: 'asking.plotsNeeded',
    family,
    help: 'How many more plots a sampling error would need.',
    sets: ['kind=ask', 'about=plotsNeeded'],
    patterns: [
      'how many (more plots | plots more | plots) [do (i | we) need] for <small:5..20> percent {percent=#}',
      'how many plots do (i | we) need',
      'do (i | we) need more plots',
      'how many more plots [do i need | do we need | are needed] [for <small:5..20> percent {percent=#}]',
      'plots (needed | to go) [for <small:5..20> percent {percent=#}]',
    ],
    examples: [
      { words: 'how many more plots for ten percent', note: ask('plotsNeeded', { percent: 10 }) },
      { words: 'how many more plots', note: ask('plotsNeeded') },
      { words: 'plots needed for fifteen percent', note: ask('plotsNeeded', { percent: 15 }) },
    ],
  },
  {
    id: 'asking.expectedHeight',
    family,
    help: 'What height a tree of that diameter should have here.',
    sets: ['kind=ask', 'about=expectedHeight'],
    patterns: [
      'how (tall | high) should (a | an | this | the) [<inches> {diameter=#u}] <scope/species> be',
      'how (tall | high) should (a | an) <inches> {diameter=#u} [tree] be',
      'how (tall | high) should (it | this | this tree | that) be',
    ],
    examples: [
      {
        words: 'how tall should a fourteen inch red oak be',
        note: ask('expectedHeight', { diameter: { value: 14, unit: 'in' }, scope: { species: 833 } }),
      },
      { words: 'how tall should a beech be', note: ask('expectedHeight', { scope: { species: 531 } }) },
      { words: 'how tall should it be', note: ask('expectedHeight') },
    ],
  },
  {
    id: 'asking.most',
    family,
    help: 'The tallest or the thickest tree of a species.',
    sets: ['kind=ask'],
    patterns: [
      '[<askLead>] (tallest {about=tallest} | (thickest | biggest | fattest) {about=thickest}) <scope/species> <within>',
    ],
    examples: [
      { words: 'tallest red oak', note: ask('tallest', { scope: { species: 833 } }) },
      { words: 'biggest beech here', note: ask('thickest', { scope: { species: 531, plot: 'this' } }) },
      {
        words: 'thickest white pine today',
        note: ask('thickest', { scope: { species: 'white pine', day: 'today' } }),
      },
    ],
  },
  ...totalsAsked.map(
    ({ about, help, words, weight = 0.4 }): Rule => ({
      id: `asking.${about}`,
      family,
      help,
      weight,
      sets: ['kind=ask'],
      // The topic stands before the scope and every wording ends in a word, so that all topics share one scope.
      patterns: [`[<askLead>] [<state>] (${words.join(' | ')}) {about=${about}} <scoped>`],
      examples: [
        { words: first(words[0] ?? ''), note: ask(about) },
        { words: `${first(words[0] ?? '')} of red oak`, note: ask(about, { scope: { species: 833 } }) },
        { words: `${first(words[0] ?? '')} on this plot`, note: ask(about, { scope: { plot: 'this' } }) },
      ],
    }),
  ),
  ...plainlyAsked.map(
    ({ about, help, words }): Rule => ({
      id: `asking.${about}`,
      family,
      help,
      weight: 0.3,
      sets: ['kind=ask', `about=${about}`],
      patterns: words,
      examples: words.slice(0, 3).map((each) => ({ words: first(each), note: ask(about) })),
    }),
  ),
];
