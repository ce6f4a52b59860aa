/**
 * Chooses the limits of grammar/reading/decide.ts: the most sentences kept rightly while hardly any wrong one is kept in
 * silence. Prints the limits and what they give. Run: `npx tsx tests/grammar/make/tune-decision.ts [trials]`. The bench
 * reports on other seeds.
 */
import { decisionLimits } from '../../../grammar/reading/edit-costs.ts';
import { createSlips, tally } from '../slips.ts';

const count = Number(process.argv[2] ?? 3000);
const trials = createSlips();
const phone = trials('phone', count, 101);
const words = [...trials('dropped word', count / 2, 102), ...trials('doubled word', count / 2, 103)];
/** Wrong and unasked, of all that do not spell another sentence: below the figures asked for. decide.ts takes the keepPosterior one notch stricter than this finds. */
const most = { phone: 0.0025, words: 0.0045 };

let best: { limits: typeof decisionLimits; right: number } | undefined;
// Above 10 a number could be passed over in silence (skippedNumber in costs.ts).
for (const keepPosterior of [0.9, 0.95, 0.96, 0.97, 0.98, 0.985, 0.99])
  for (const keepCost of [5, 7, 8, 9, 10]) {
    const limits = { ...decisionLimits, keepPosterior, keepCost };
    const p = tally(phone, limits);
    const w = tally(words, limits);
    if (p.wrong > most.phone * (count - p.apart) || w.wrong > most.words * (count - w.apart)) continue;
    const right = p.right + w.right;
    if (best === undefined || right > best.right) best = { limits, right };
  }
if (best === undefined) console.log('no limits keep the wrong ones low enough');
else {
  console.log(best.limits);
  console.log('phones', tally(phone, best.limits));
  console.log('words', tally(words, best.limits));
}
