/** Questions aloud, with what they are narrowed to. */
import type { Note } from '../../../shared/note/note.ts';
import { type QuestionTopic, questionTopics } from '../../../shared/note/question-topics.ts';
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
    patterns: [
      "(what's | what is | what are | give me | tell me | show me | show | read | read me | break down | split up) [the]",
    ],
  },
  {
    id: 'breakdown',
    patterns: [
      'by (species {by=species} | genus {by=genus} | (plot | plots) {by=plot} | (stratum | strata) {by=stratum} | day {by=day} | (person | crew) {by=person} | status {by=status}) [in percent {share=true}]',
    ],
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

const breaks = (about: string): boolean => questionTopics[about as QuestionTopic].asked === 'totals';

export const askingRules: readonly Rule[] = [
  ...scopeRules,
  {
    id: 'asking.trees',
    family,
    help: 'How many trees were measured, of a species, on a plot, dead or alive, today; or the trees one by one.',
    sets: ['kind=ask'],
    weight: 1,
    patterns: [
      '<countOrList> [<state>] trees [are there | have we got | do we have | did we do] <scoped>',
      '<countOrList> [<state>] <scope/species> [trees | are there | have we got | do we have] <within>',
      '(read [me] back | show me) {about=list} [all] [the] trees <within>',
      'trees {about=trees} <where>',
      '(tree count | count of trees | number of trees | total trees) {about=trees} <scoped>',
      '(list | read [me] back | read out) {about=list} plot <plainCount:1..60> {scope.plot=#}',
      '(list | read [me] back | show me) {about=list} [the] last <lastFew> trees',
      'how many {about=trees} (dead {scope.status=dead} | cull {scope.status=cull} | living {scope.status=live}) <within>',
    ],
    examples: [
      { words: 'how many trees', note: ask('trees') },
      { words: 'how many red oaks on plot seven', note: ask('trees', { scope: { species: 833, plot: 7 } }) },
      { words: 'how many dead trees today', note: ask('trees', { scope: { status: 'dead', day: 'today' } }) },
      { words: 'list the trees', note: ask('list') },
      { words: 'read back plot five', note: ask('list', { scope: { plot: 5 } }) },
      { words: 'list the beeches on plot two', note: ask('list', { scope: { species: 'beech', plot: 2 } }) },
      { words: 'read back the last three trees', note: ask('list', { count: 3 }) },
      { words: 'how many trees in stratum ridge', note: ask('trees', { scope: { stratum: 'ridge' } }) },
    ],
  },
  {
    id: 'asking.breakdown',
    family,
    help: 'The trees broken down: each species, genus, plot, stratum, day or person with its count.',
    sets: ['kind=ask', 'about=trees'],
    patterns: [
      '[(break | split) (it | that | them) (down | up)] <breakdown>',
      '([<askLead>] trees | how many trees | tree count | what have (i | we) got) <breakdown>',
    ],
    examples: [
      { words: 'break it down by species', note: ask('trees', { by: 'species' }) },
      { words: 'by plot', note: ask('trees', { by: 'plot' }) },
      { words: 'how many trees by stratum', note: ask('trees', { by: 'stratum' }) },
    ],
  },
  {
    id: 'asking.share',
    family,
    help: 'How much of the basal area, the volume or the trees is of a species, in percent; or of each.',
    sets: ['kind=ask'],
    weight: 0.4,
    patterns: [
      '(what <shareWord> | <shareWord>) {share=true} (<shareOf> | {about=basalArea}) (is | of) [the] <scope/species> <within>',
      '[<askLead>] <shareWord> {share=true} (<shareOf> | {about=basalArea}) <breakdown>',
      '[<askLead>] species (composition | mix) {share=true} {by=species} {about=basalArea}',
      'how much of (it {about=basalArea} | <shareOf>) is {share=true} [the] <scope/species> <within>',
    ],
    examples: [
      { words: 'what share is oak', note: ask('basalArea', { share: true, scope: { species: 'oak' } }) },
      {
        words: 'what percent of the volume is red oak',
        note: ask('volumePerAcre', { share: true, scope: { species: 833 } }),
      },
      { words: 'species composition', note: ask('basalArea', { share: true, by: 'species' }) },
      { words: 'basal area by genus in percent', note: ask('basalArea', { share: true, by: 'genus' }) },
    ],
  },
  { id: 'shareWord', patterns: ['share | shares | percent | percentage'] },
  {
    id: 'shareOf',
    patterns: [
      '[of] the (basal area {about=basalArea} | (volume | board feet) {about=volumePerAcre} | (trees | stems) {about=density} | biomass {about=biomass} | carbon {about=carbon})',
    ],
  },
  {
    id: 'asking.samplingError',
    family,
    help: 'The sampling error of a total, at the confidence that is said, else ninety five percent.',
    sets: ['kind=ask', 'about=samplingError'],
    patterns: [
      "[what's (my | the) | what is (my | the) | <askLead>] ((standard | sampling) error | confidence limits) [<errorAbout>] [<errorLevel>]",
      "[what's (my | the) | what is (my | the) | <askLead>] error <errorAbout> [<errorLevel>]",
      'how far off are the totals',
    ],
    examples: [
      { words: 'sampling error', note: ask('samplingError') },
      {
        words: "what's my error on basal area at ninety percent",
        note: ask('samplingError', { of: 'basalArea', confidence: 90 }),
      },
      { words: 'standard error of the volume', note: ask('samplingError', { of: 'volumePerAcre' }) },
    ],
  },
  { id: 'errorAbout', patterns: ['(on | of | in) [the] <errorOf>'] },
  { id: 'errorLevel', patterns: ['at <small:80..95> percent [confidence] {confidence=#}'] },
  {
    id: 'errorOf',
    patterns: [
      'basal area {of=basalArea} | (volume | board feet) {of=volumePerAcre} | (density | trees per acre | trees per hectare | stocking) {of=density} | biomass {of=biomass} | carbon {of=carbon} | cubic (feet | volume) {of=cubic} | (mean | average) height {of=meanHeight}',
    ],
  },
  {
    id: 'asking.treeNumbered',
    family,
    help: 'All that is known of a tree, by its number or what it is; "for the beech" takes it in hand again.',
    // What is asked for and what is taken in hand share the names of the trees: the kind stands before them.
    patterns: [
      '<askWhich> (tree [number] <count:1..60> {tree=#} | the <which/which>) [again]',
      '(for | on | back to | go to) {kind=hand} the <which/which> [again]',
      '[<askLead>] [the] (height | diameter | dbh | species) of {kind=ask} {about=treeNumbered} tree [number] <count:1..60> {tree=#}',
    ],
    examples: [
      { words: 'what was tree one', note: ask('treeNumbered', { tree: 1 }) },
      { words: 'height of tree two', note: ask('treeNumbered', { tree: 2 }) },
      { words: 'how tall was the beech', note: ask('treeNumbered', { which: { species: 'beech' } }) },
      { words: 'for the second red oak', note: { kind: 'hand', which: { species: 833, nth: 2 } } },
    ],
  },
  {
    id: 'askWhich',
    patterns: [
      '(what was | what is | read [back] | show [me] | tell me about | how (tall | high | thick | big) (is | was)) {kind=ask} {about=treeNumbered}',
    ],
  },
  {
    id: 'countOrList',
    patterns: ['how many {about=trees}', '(list | read out) {about=list} [all] [the]'],
  },
  {
    id: 'lastFew',
    patterns: [
      'two {count=2} | three {count=3} | four {count=4} | five {count=5} | six {count=6} | ten {count=10}',
    ],
  },
  {
    id: 'asking.lastNotes',
    family,
    help: 'The last things that were kept, read back.',
    sets: ['kind=ask', 'about=lastNotes'],
    patterns: [
      '(read [me] back | show [me] | what were | what was) [the | my] last <lastFew> [notes | ones | things]',
      'what did i (just say | say just now | say last | last say | say)',
      'what did (i | you) just (log | keep | put down | write down)',
      'what was the last thing [[(i | you)] (said | logged | kept | put down | wrote down)]',
      'what have i (said | told you)',
    ],
    examples: [
      { words: 'read back the last three', note: ask('lastNotes', { count: 3 }) },
      { words: 'what did i just say', note: ask('lastNotes') },
      { words: 'show the last five notes', note: ask('lastNotes', { count: 5 }) },
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
      '([<askLead>] [total] volume | board feet | how (much volume | many board feet) [is there | are there | have we got | do we have]) {about=volume} <scoped> [by <logRule>] [<breakdown>]',
      '([<askLead>] volume | board feet | how much volume) (per acre | an acre | per hectare {units=metres} | a hectare {units=metres}) {about=volumePerAcre} <scoped> [by <logRule>] [<breakdown>]',
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
      'how many (more plots | plots more | plots) [do (i | we) need] for <small:5..20> percent {percent=#} [(in | on | of) [the] <errorOf>]',
      'how many (more plots | plots more | plots) [do (i | we) need] for [the] <errorOf>',
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
      { words: 'how tall should a beech be', note: ask('expectedHeight', { scope: { species: 'beech' } }) },
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
      { words: 'biggest beech here', note: ask('thickest', { scope: { species: 'beech', plot: 'this' } }) },
      {
        words: 'thickest white pine today',
        note: ask('thickest', { scope: { species: 'white pine', day: 'today' } }),
      },
    ],
  },
  ...Object.entries(totalsAsked).map(
    ([about, words]): Rule => ({
      id: `asking.${about}`,
      family,
      help: questionTopics[about as QuestionTopic].help,
      weight: 0.4,
      sets: ['kind=ask'],
      // The topic stands before the scope and every wording ends in a word, so that all topics share one scope.
      patterns: [
        `[<askLead>] [<state>] (${words.join(' | ')}) {about=${about}} <scoped>${breaks(about) ? ' [<breakdown>]' : ''}`,
      ],
      examples: [
        { words: first(words[0] ?? ''), note: ask(about as QuestionTopic) },
        {
          words: `${first(words[0] ?? '')} of red oak`,
          note: ask(about as QuestionTopic, { scope: { species: 833 } }),
        },
        breaks(about)
          ? { words: `${first(words[0] ?? '')} by plot`, note: ask(about as QuestionTopic, { by: 'plot' }) }
          : {
              words: `${first(words[0] ?? '')} on this plot`,
              note: ask(about as QuestionTopic, { scope: { plot: 'this' } }),
            },
      ],
    }),
  ),
  ...Object.entries(plainlyAsked).map(
    ([about, words]): Rule => ({
      id: `asking.${about}`,
      family,
      help: questionTopics[about as QuestionTopic].help,
      weight: 0.3,
      sets: ['kind=ask', `about=${about}`],
      patterns: words,
      examples: words.slice(0, 3).map((each) => ({ words: first(each), note: ask(about as QuestionTopic) })),
    }),
  ),
];
