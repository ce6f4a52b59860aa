import { expect, test } from 'vitest';
import { killRounds } from '../server/kill.ts';

test('two hundred kills in the middle of appends lose no acknowledged entry', async () => {
  const count = await killRounds(200, 2026);
  console.log(count);
  expect(count).toMatchObject({ lost: 0, damaged: 0, torn: 0 });
  expect(count.acknowledged).toBeGreaterThan(2000);
}, 600_000);
