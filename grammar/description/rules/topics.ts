/** How each topic is asked for: the words of the questions, without what they are narrowed to. */
import type { QuestionTopic } from '../../../shared/note/note.ts';

/** Topics of totals: how each is asked. All may be narrowed. */
export const totalsAsked: readonly {
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
export const plainlyAsked: readonly {
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
      'how accurate is (that | it)',
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
