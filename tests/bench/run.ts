/**
 * Runs the benchmarks: `npm run bench` all, `npm run bench -- NAME` one. Each prints lines `name value unit`.
 */
import { readdirSync } from 'node:fs';

interface Bench {
  readonly name: string;
  run(print: (name: string, value: number | string, unit: string) => void): Promise<void>;
}

const folder = new URL('.', import.meta.url);
const wanted = process.argv.slice(2);
const benches: Bench[] = [];
for (const file of readdirSync(folder).sort()) {
  if (file.endsWith('.bench.ts')) benches.push((await import(new URL(file, folder).href)) as Bench);
}
const names = benches.map((bench) => bench.name);
const unknown = wanted.filter((name) => !names.includes(name));
if (unknown.length > 0) {
  console.error(`No benchmark is called ${unknown.join(', ')}. There are: ${names.join(', ')}.`);
  process.exit(2);
}
for (const bench of benches) {
  if (wanted.length > 0 && !wanted.includes(bench.name)) continue;
  await bench.run((name, value, unit) => console.log(`${bench.name}.${name} ${value} ${unit}`.trim()));
}
