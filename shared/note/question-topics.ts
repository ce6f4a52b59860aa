/**
 * What can be asked: one record a topic. From this table follow the schema of a question, the help of its phrases, and
 * which words (`grammar/description/rules/topics.ts`) and which answer (`shared/dialogue/asking.ts`) each
 * must have: one that lacks either does not compile.
 */

interface Topic {
  /** One plain sentence for the help page. */
  readonly help: string;
  /**
   * `totals`: narrowed by species, place, day and person, and broken down by them; `narrowed`: that alone; `plain`:
   * asked as it is; `own`: by a rule of its own; `typed`: put together from typed words, never heard.
   */
  readonly asked: 'totals' | 'narrowed' | 'plain' | 'own' | 'typed';
}

export const questionTopics = {
  trees: {
    asked: 'own',
    help: 'How many trees were measured, of a species, on a plot, dead or alive, today.',
  },
  plots: { asked: 'own', help: 'How many plots are done.' },
  basalArea: { asked: 'totals', help: 'Basal area.' },
  density: { asked: 'totals', help: 'Trees per acre or hectare.' },
  volume: { asked: 'own', help: 'Volume, in all, by a log rule where one is named.' },
  volumePerAcre: { asked: 'own', help: 'Volume of an acre or hectare, by a log rule where one is named.' },
  cubic: { asked: 'totals', help: 'Cubic volume of an acre or hectare.' },
  cords: { asked: 'totals', help: 'Cords of an acre.' },
  biomass: { asked: 'totals', help: 'Above-ground biomass.' },
  carbon: { asked: 'totals', help: 'Carbon above ground.' },
  meanHeight: { asked: 'totals', help: 'Mean of the heights.' },
  lorey: { asked: 'totals', help: 'Mean height weighted by basal area.' },
  topHeight: { asked: 'totals', help: 'Height of the thickest trees.' },
  meanDiameter: { asked: 'totals', help: 'Mean of the diameters.' },
  quadraticDiameter: { asked: 'totals', help: 'Diameter of the tree of mean basal area.' },
  tallest: { asked: 'narrowed', help: 'The tallest tree.' },
  thickest: { asked: 'narrowed', help: 'The thickest tree.' },
  plotsNeeded: { asked: 'own', help: 'How many more plots a sampling error would need.' },
  spread: { asked: 'narrowed', help: 'How much plots differ.' },
  samplingError: { asked: 'own', help: 'The sampling error of a total, at the level that is said.' },
  thisPlot: { asked: 'plain', help: 'The plot in hand.' },
  thisTree: { asked: 'plain', help: 'The tree in hand.' },
  treeNumbered: { asked: 'own', help: 'A tree by its number, or what it is: all that is known of it.' },
  list: { asked: 'own', help: 'The trees one by one.' },
  lastNotes: { asked: 'own', help: 'The last things that were kept, read back.' },
  lastHeight: { asked: 'plain', help: 'The last height again.' },
  howSure: { asked: 'plain', help: 'The error of the last height and what makes it.' },
  why: { asked: 'plain', help: 'The working behind the last answer.' },
  doubts: { asked: 'plain', help: 'What is still in doubt.' },
  totals: { asked: 'narrowed', help: 'Everything in short.' },
  pace: { asked: 'plain', help: 'The pace in use.' },
  eye: { asked: 'plain', help: 'The eye height in use.' },
  settings: { asked: 'plain', help: 'All settings in use.' },
  person: { asked: 'plain', help: 'Who is measuring.' },
  expectedHeight: { asked: 'own', help: 'What height a tree of that diameter should have here.' },
  help: { asked: 'plain', help: 'What can be said now.' },
  safety: { asked: 'plain', help: 'The cautions.' },
  corrections: { asked: 'plain', help: 'What was changed or scratched.' },
  worth: { asked: 'narrowed', help: 'What the wood is worth at the prices that were said.' },
  closure: { asked: 'plain', help: 'How well the walk round the area closes.' },
  edgeArea: { asked: 'plain', help: 'The area inside the walk, so far or closed.' },
  legs: { asked: 'plain', help: 'The legs of the walk, read back.' },
  plotsLeft: { asked: 'plain', help: 'Which planned plots are left.' },
  phones: { asked: 'plain', help: 'Which phones the computer lets in.' },
  species: { asked: 'narrowed', help: 'Which species, and how many of each.' },
  compared: {
    asked: 'typed',
    help: 'Two trees or two heights: how far apart they are, whether they agree, their mean.',
  },
  together: { asked: 'typed', help: 'What several heights of one tree come to together.' },
  slenderness: { asked: 'typed', help: 'Height of a tree divided by its diameter.' },
  limit: { asked: 'typed', help: 'How far from the middle of the plot a tree of that diameter counts.' },
  counted: { asked: 'typed', help: 'Whether dead trees and those without measurements count in the totals.' },
  shortest: { asked: 'typed', help: 'The shortest tree.' },
  thinnest: { asked: 'typed', help: 'The thinnest tree.' },
  soFar: {
    asked: 'typed',
    help: 'The plots that are being taken, in short: how many, and their mean basal area and trees of an acre.',
  },
  circle: { asked: 'typed', help: 'The radius of a plot of some size; nothing is set by it.' },
  place: { asked: 'typed', help: 'The stand, the stratum and the plot in hand.' },
  emptyPlots: { asked: 'typed', help: 'Which plots were empty.' },
  plotList: { asked: 'typed', help: 'The plots one by one, with their trees.' },
  remarks: { asked: 'typed', help: 'The remarks, read back.' },
  whoMeasured: { asked: 'typed', help: 'Who told a tree or a plot.' },
  bestPlot: { asked: 'typed', help: 'Which plot has the most, or the least.' },
  followUp: { asked: 'typed', help: 'The last question again, narrowed or broken down.' },
  missing: { asked: 'typed', help: 'What trees still lack, and what is open.' },
  report: { asked: 'typed', help: 'The totals in short, and where the report is.' },
  files: { asked: 'typed', help: 'Whether all is kept, and where the files are.' },
  ready: { asked: 'typed', help: 'Whether it listens, and what is in hand.' },
} satisfies Record<string, Topic>;

type Topics = typeof questionTopics;
export type QuestionTopic = keyof Topics;
/** Topics that are asked in one way. */
export type TopicAsked<A extends Topic['asked']> = {
  [K in QuestionTopic]: Topics[K]['asked'] extends A ? K : never;
}[QuestionTopic];

/** All topics, in the order of the table. */
export const questions = Object.keys(questionTopics) as [QuestionTopic, ...QuestionTopic[]];

/** What an answer can be broken down by: each with its own value. */
export const breakdowns = [
  'species',
  'genus',
  'plot',
  'stratum',
  'stand',
  'day',
  'person',
  'status',
] as const;
export type Breakdown = (typeof breakdowns)[number];
