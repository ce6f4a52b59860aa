/**
 * What the help says of each rule, and its examples. Reading word for word and speaking need neither, and they are a third of
 * the description: the page's build leaves them out of it and keeps them here, in a piece that is fetched with the first
 * note that is not read at once, and with the help.
 */
import { grammar } from './grammar.ts';
import type { Description, Rule } from './model.ts';

/** By the id of the rule. The page's build writes this out as data. */
export const ruleHelp: Readonly<Record<string, Pick<Rule, 'help' | 'examples'>>> = Object.fromEntries(
  grammar.rules.map(({ id, help, examples }) => [
    id,
    { ...(help === undefined ? {} : { help }), ...(examples === undefined ? {} : { examples }) },
  ]),
);

/** The description with its help and examples; where they are there already nothing changes. */
export const withHelp = (description: Description): Description => ({
  ...description,
  rules: description.rules.map((rule) => ({ ...rule, ...ruleHelp[rule.id] })),
});
