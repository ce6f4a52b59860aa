/** `stemsay voice`: learnt from notes that stood with their sound, used by who speaks at the book, taken along, forgotten. */
import { readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Voices } from '../../server/desk/voices.ts';
import { createLanguage } from '../../server/language/language.ts';
import { layerOutputs } from '../../shared/sound/output-layer.ts';
import { packVoice } from '../../shared/sound/voice-profile.ts';
import { ownFolder, commandLine as terminalWith } from './terminal.ts';

const folder = ownFolder();
const commandLine = terminalWith(createLanguage());
const layer = {
  weight: new Float32Array(384 * layerOutputs).fill(0.5),
  bias: new Float32Array(layerOutputs),
};
const other = { ...layer, bias: new Float32Array(layerOutputs).fill(0.25) };
const profile = packVoice(other, layer, { speaker: 'Wren', time: 1_700_000_000_000, notes: 30 });

test('what is known of a speaker is a file of the owner alone, and gone when it is forgotten', () => {
  const book = join(folder, 'wood.book');
  const voices = new Voices(book);
  expect(voices.all()).toEqual([]);
  voices.keep({ speaker: 'Wren', voice: profile });
  voices.keep({ speaker: 'Ada / Lark', voice: null });
  const files = readdirSync(join(folder, 'voices'));
  expect(files).toHaveLength(2);
  for (const file of files) expect(statSync(join(folder, 'voices', file)).mode & 0o077).toBe(0);
  expect(voices.of('Wren')?.voice?.steps).toEqual(profile.steps);
  expect(voices.of('Ada / Lark')).toEqual({ speaker: 'Ada / Lark', voice: null });
  expect(voices.of('wren')).toBeNull();
  for (const file of files) writeFileSync(join(folder, 'voices', file), '{"speaker":');
  expect(voices.all()).toEqual([]);
  voices.keep({ speaker: 'Wren', voice: profile });
  expect(voices.forget('Wren')).toBe(true);
  expect(voices.forget('Wren')).toBe(false);
});

test('the command saves a voice, brings it in for another, lists and forgets', async () => {
  const book = join(folder, 'hill.book');
  expect((await commandLine(['note', '--book', book, 'my pace is five feet'])).status).toBe(0);
  const saved = join(folder, 'wren.json');
  new Voices(book).keep({ speaker: 'Wren', voice: profile });
  const voice = (...rest: string[]) => commandLine(['voice', ...rest, '--book', book]);
  expect((await voice('save', 'Wren', '--out', saved)).out).toContain('Saved in');
  expect((await voice('bring', 'Ada', '--from', saved)).out).toBe(
    'Ada is heard with that voice from now on.\n',
  );
  expect((await voice()).out).toContain('Wren: the words, and the voice, learnt from 30 notes');
  expect((await voice('forget')).err).toBe('Whose? There are: Ada, Wren.\n');
  expect((await voice('forget', 'Wren')).out).toBe('Forgotten: Wren is heard as anybody is.\n');
  expect((await voice('forget', 'Wren')).status).toBe(1);
  const few = await voice('learn');
  expect(few.status).toBe(1);
  expect(few.err).toMatch(/^0 notes of d-[0-9a-f]+ with their sound are too few: at least 15 are needed\./);
  expect((await voice('listen')).status).toBe(2);
});
