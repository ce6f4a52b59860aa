/** Heights: time of one measurement of each kind, and the error budget against a million Monte Carlo draws. */
import { measure } from '../../shared/measuring/height/index.ts';
import { settings, spreadOf, stories } from '../measuring/height-stories.ts';

export const name = 'heights';

export async function run(
  print: (name: string, value: number | string, unit: string) => void,
): Promise<void> {
  const repeats = 20000;
  let worstRatio = 1;
  for (const [title, measurement, truth] of stories) {
    for (let i = 0; i < repeats; i++) measure(measurement, settings);
    const start = performance.now();
    for (let i = 0; i < repeats; i++) measure(measurement, settings);
    const micros = ((performance.now() - start) * 1000) / repeats;
    const result = measure(measurement, settings);
    if (!result.ok) throw new Error(JSON.stringify(result.error));
    const { spread } = spreadOf(truth, result.value.feet, 1_000_000, 1);
    const ratio = result.value.sdFeet / spread;
    if (Math.abs(ratio - 1) > Math.abs(worstRatio - 1)) worstRatio = ratio;
    const key = title.replaceAll(/[^a-z]+/gi, '-');
    print(`${key}.time`, micros.toFixed(2), 'us');
    print(`${key}.sd`, result.value.sdFeet.toFixed(3), 'ft');
    print(`${key}.sd-against-monte-carlo`, ratio.toFixed(4), 'ratio');
  }
  print('worst.sd-against-monte-carlo', worstRatio.toFixed(4), 'ratio');
}
