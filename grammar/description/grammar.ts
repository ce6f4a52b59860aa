/** The language description: everything that can be said, as frozen data. All readers of it take it from here. */
import { mostTaught, type TaughtWord } from '../../shared/book/taught.ts';
import type { Description, Rule } from './model.ts';
import { angleRules } from './rules/angles.ts';
import { askingRules } from './rules/asking.ts';
import { controlRules } from './rules/control.ts';
import { mendingRules } from './rules/corrections.ts';
import { distanceRules } from './rules/distances.ts';
import { heightRules } from './rules/heights.ts';
import { landRules } from './rules/land.ts';
import { freeWords, nameRules, nameWords, namingRules } from './rules/names.ts';
import { plotRules } from './rules/plots.ts';
import { settingRules } from './rules/settings.ts';
import { treeRules } from './rules/trees.ts';

const rules: readonly Rule[] = [
  ...distanceRules,
  ...heightRules,
  ...angleRules,
  ...treeRules,
  ...mendingRules,
  ...plotRules,
  ...askingRules,
  ...settingRules,
  ...landRules,
  ...nameRules,
  ...controlRules,
];

/**
 * Rules, fillers and free words. The version is kept with every entry: raise it whenever a sentence would be read
 * otherwise than before.
 */
export const grammar: Description = Object.freeze({
  version: '3',
  rules: Object.freeze(rules),
  fillers: Object.freeze(['uh', 'um', 'er', 'erm', 'ah', 'okay', 'ok', 'well', 'so', 'please', 'hey']),
  joining: Object.freeze(['and', 'then']),
  freeWords,
  nameWords,
});

/**
 * The description with the user's own words: taught names of species and marks, and words that the ear should know
 * where free words stand (names of stands, strata and people). The newest of two meanings of a word holds.
 *
 * Example: after `withUserWords(grammar, [{ word: 'hard rock', species: 318 }])`, "hard rock fourteen inches" is a
 * sugar maple.
 */
export function withUserWords(
  description: Description,
  words: readonly TaughtWord[],
  names: readonly string[] = [],
): Description {
  if (words.length === 0 && names.length === 0) return description;
  const newest = [...new Map(words.map((each) => [each.word, each])).values()].slice(-mostTaught);
  const changed = new Map(namingRules(newest).map((rule) => [rule.id, rule]));
  const ear = names.flatMap((name) => name.toLowerCase().match(/[a-z][a-z']*/g) ?? []);
  return Object.freeze({
    ...description,
    rules: Object.freeze(description.rules.map((rule) => changed.get(rule.id) ?? rule)),
    freeWords: Object.freeze([...new Set([...description.freeWords, ...ear])]),
    ...(ear.length > 0 ? { knownWords: Object.freeze([...new Set(ear)]) } : {}),
  });
}
