/** All other words in their order, and the words that may be left out beside them. */
import { askingRows } from './asking.ts';
import type { OtherWords } from './rows.ts';
import { treeRows } from './trees.ts';
import { wordRows } from './words.ts';

export const otherWords: OtherWords = [
  ...wordRows.remarks,
  ...wordRows.shortForms,
  ...wordRows.shortSpecies,
  ...wordRows.names,
  ...wordRows.settings,
  ...wordRows.people,
  ...wordRows.places,
  ...wordRows.plots,
  ...askingRows,
  ...treeRows.mending,
  ...treeRows.heights,
  ...treeRows.trees,
];

/** What people put before a thing that they want done: it may be left out of whatever follows. */
export const leadIns: readonly string[] = [
  ...'uh um umm uhh hm hmm er erm ah oh ok okay alright well hey hi hello howdy please pls thanks actually really'.split(
    ' ',
  ),
  'thank you',
  'go ahead and',
  "let's",
  'let me',
  'let us',
  'can you',
  'could you',
  'would you',
  'can we',
  'i want to',
  'i will',
  "i'd like to",
  'i would like to',
  'i need to',
  'you can',
  'if you would',
  'by the way',
  'good morning',
  'good afternoon',
  'you may',
];

/** Words and phrases that say nothing: wherever they stand beside what tells something they may be left out. */
export const emptyWords: readonly string[] = [
  ...leadIns,
  ...'so now then just lol oops sorry basically also though anyway yeah yep wait look listen right'.split(
    ' ',
  ),
  'ah shoot',
  'oh shoot',
  'hang on',
  'hold on',
  'if that helps',
  'for me',
  'to be exact',
  'i think',
  'i believe',
  'i guess',
  'i reckon',
  "i'd say",
  'i would say',
  "let's say",
  'looks like',
  'looks to be',
  'looks about',
  'or so',
  'more or less',
  'this time',
  'after all',
  'instead',
  'so far',
  'all told',
  'in here',
  'over here',
  'right here',
];

/** Words that only paint: articles and adjectives that change no number and no name. */
export const lightAdjectives: readonly string[] = [
  ...'a an the got have here there big old little small nice good tall huge fat skinny about around roughly'.split(
    ' ',
  ),
  ...'only still maybe pretty quite very some exactly first next'.split(' '),
  "it's",
  'it is',
  'there is',
  'there are',
  'i have',
  'we have',
  'i got',
  'we got',
];
