/** The volume of the trees that were told last: "volume of those two". */
import { feetToMetres } from '../core/units.ts';
import { type LogRule, logRules, usualLogRule } from '../note/log-rules.ts';
import type { NoteOf } from '../note/note.ts';
import { netBoardFeet } from '../totals/contribution.ts';
import { basalAreaFt2, compositeFormFactor } from '../totals/cubic.ts';
import { usualFormClass } from '../totals/tree-volume.ts';
import type { TreeRecord } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { type Context, type Outcome, refused, said } from './outcome.ts';
import { treesOf } from './which-tree.ts';

/** What one tree holds, or what it lacks to tell. */
type Held = { readonly value: number } | { readonly lacks: string };

/** Cubic metres of a stem as the totals reckon it: basal area by height by the form factor. */
function cubicOf({ diameterIn, heightFt }: TreeRecord): Held {
  if (diameterIn === null) return { lacks: 'no diameter' };
  if (heightFt === null) return { lacks: 'no height' };
  const feet = basalAreaFt2(diameterIn) * heightFt * compositeFormFactor;
  return { value: feet * feetToMetres(1) ** 3 };
}

function boardFeetOf(tree: TreeRecord, rule: LogRule, formClass: number): Held {
  const value = netBoardFeet(tree, rule, formClass);
  return value === null ? { lacks: tree.diameterIn === null ? 'no diameter' : 'no logs' } : { value };
}

/** Of each of the last trees, and of all of them together. */
export function lastVolumes(context: Context, { count = 1, rule: asked }: NoteOf<'ask'>): Outcome {
  const { settings } = context;
  const trees = treesOf(context, {}).slice(-count);
  if (trees.length < count)
    return refused(`There ${trees.length === 1 ? 'is one tree' : `are ${trees.length} trees`} here.`);
  const metric = settings.units === 'metres';
  const rule = asked ?? settings.logRule ?? (metric ? null : usualLogRule);
  const unit = rule === null ? 'cubic metres' : 'board feet';
  const say = (value: number): string => `${wording.digits(value, rule === null ? 2 : 0)} ${unit}`;
  const parts = trees.map((tree) => ({
    number: tree.number,
    held: rule === null ? cubicOf(tree) : boardFeetOf(tree, rule, settings.formClass ?? usualFormClass),
    count: tree.count,
  }));
  const lines = parts.map(({ number, held }) =>
    'value' in held ? `tree ${number}, ${say(held.value)}` : `tree ${number} has ${held.lacks}`,
  );
  const values = parts.flatMap(({ held, count: many }) => ('value' in held ? [held.value * many] : []));
  const total = values.reduce((sum, value) => sum + value, 0);
  const whole =
    values.length > 1 ? ` Together ${say(total)}${rule === null ? '' : ` by ${logRules[rule].name}`}.` : '';
  return said(`${wording.sentence(lines.join('; '))}.${whole}`);
}
