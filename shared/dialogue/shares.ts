/** Shares aloud: how much of all is of a species, or of each part of a breakdown, in percent. */
import type { QuestionTopic } from '../note/question-topics.ts';
import type { Estimate, TotalsScope } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { brokenDown, type Part } from './broken-down.ts';
import { type Outcome, said } from './outcome.ts';

/** What shares are asked of: each part, and all of it. */
export interface ShareAsked {
  readonly parts: readonly Part[];
  readonly all: TotalsScope;
  readonly estimate: (scope: TotalsScope) => Estimate;
  /** A value in words, with its unit: "21 square feet an acre". */
  readonly say: (estimate: Estimate, value: number) => string;
  /** "the basal area". */
  readonly of: string;
  /** True for the parts of a breakdown, each told; else one species is asked for. */
  readonly each: boolean;
}

/** How a quantity is named where a part of it is told. */
export const wholeNames: Partial<Record<QuestionTopic, string>> = {
  trees: 'the trees',
  basalArea: 'the basal area',
  density: 'the trees',
  volume: 'the volume',
  volumePerAcre: 'the volume',
  cubic: 'the volume',
  cords: 'the cords',
  biomass: 'the biomass',
  carbon: 'the carbon',
};

/** Percent of all, with a digit behind the point where it is small: of 3, 1 is "33 percent". */
function percentOf(part: number, all: number): string {
  const percent = (100 * part) / all;
  return `${wording.digits(percent, percent < 9.95 ? 1 : 0)} percent`;
}

/** "Northern red oak is 62 percent of the basal area: 26 of 42 square feet an acre." */
export function sharesAnswer({ parts, all, estimate, say, of, each }: ShareAsked): Outcome {
  const whole = estimate(all);
  if (whole.value === null || !(whole.value > 0))
    return said(whole.leftOut.join(' ') || 'Nothing to share out yet.');
  const total = whole.value;
  if (each) {
    const { text, detail } = brokenDown(parts, true, estimate, (_, value) => percentOf(value, total));
    return said(text, `${detail}\nOf ${say(whole, total)}.`);
  }
  const value = parts
    .flatMap(({ scopes }) => scopes)
    .reduce((sum, scope) => sum + (estimate(scope).value ?? 0), 0);
  const name = wording.sentence(wording.list(parts.map((part) => part.name)));
  return said(
    `${name} ${parts.length > 1 ? 'are' : 'is'} ${percentOf(value, total)} of ${of}: ${withoutUnit(say(whole, value), say(whole, total))}.`,
    whole.leftOut.join('\n'),
  );
}

/** "26 of 42 square feet an acre": the unit once. */
function withoutUnit(part: string, all: string): string {
  const [number = ''] = part.split(' ');
  return /^[\d,.]+$/.test(number) ? `${number} of ${all}` : `${part} of ${all}`;
}
