/** The language description: everything that can be said, as frozen data. All readers of it take it from here. */
import type { Description, Rule } from './model.ts';
import { askingRules } from './rules/asking.ts';
import { controlRules } from './rules/control.ts';
import { distanceRules } from './rules/distances.ts';
import { heightRules } from './rules/heights.ts';
import { mendingRules } from './rules/mending.ts';
import { freeWords, nameRules } from './rules/names.ts';
import { plotRules } from './rules/plots.ts';
import { settingRules } from './rules/settings.ts';
import { treeRules } from './rules/trees.ts';

const rules: readonly Rule[] = [
  ...distanceRules,
  ...heightRules,
  ...treeRules,
  ...mendingRules,
  ...plotRules,
  ...askingRules,
  ...settingRules,
  ...nameRules,
  ...controlRules,
];

/**
 * Rules, fillers and free words. The version is kept with every entry: raise it whenever a sentence would be read
 * otherwise than before.
 */
export const grammar: Description = Object.freeze({
  version: '1',
  rules: Object.freeze(rules),
  fillers: Object.freeze(['uh', 'um', 'er', 'erm', 'ah', 'okay', 'ok', 'well', 'so', 'please', 'hey', 'now']),
  freeWords,
});
