/** Questions aloud, with what they are narrowed to. */
import type { Note, QuestionTopic } from '../../../shared/note/note.ts';
import type { Rule } from '../model.ts';
import { plainlyAsked, totalsAsked } from './topics.ts';

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
      'how many plots [have (we | i) (got | done) | [are] done | did (we | i) do] <within>',
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
