import { expect, test } from 'vitest';
import { saidBy } from '../../shared/book/said.ts';
import { converse } from '../support/conversation.ts';

const heard = async (...lines: string[]) => {
  const { session, say } = await converse();
  await say(...lines);
  return (speaker: string) =>
    saidBy(session.book, speaker).map(({ entry, stood }) => [entry.words, stood] as const);
};

test('what was said stood, unless it was taken back', async () => {
  const said = await heard('red oak sixteen inches', 'next tree', 'beech nine inches', 'scratch that');
  expect(said('device-1')).toEqual([
    ['red oak sixteen inches', true],
    ['next tree', true],
    ['beech nine inches', false],
    ['scratch that', true],
  ]);
});

test('what was corrected did not stand, and the correction did', async () => {
  const said = await heard('red oak sixteen inches', 'change species to beech');
  expect(said('device-1')).toEqual([
    ['red oak sixteen inches', false],
    ['change species to beech', true],
  ]);
});

test('each speaks for themselves: the person named, else whoever has the device', async () => {
  const said = await heard('red oak sixteen inches', 'i am linnet', 'next tree', 'beech nine inches');
  expect(said('linnet').map(([words]) => words)).toContain('beech nine inches');
  expect(said('linnet').map(([words]) => words)).not.toContain('red oak sixteen inches');
  expect(said('device-1').map(([words]) => words)).toContain('red oak sixteen inches');
});
