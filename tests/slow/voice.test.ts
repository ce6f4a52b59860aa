/**
 * `stemsay voice` from end to end, in processes of its own as a person runs them: notes are heard and kept with their sound,
 * the voice is learnt from them, saved, brought in for another, forgotten.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { lessonLimits } from '../../grammar/learning/lesson-limits.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'voice-'));
afterAll(() => rmSync(folder, { recursive: true }));
const book = join(folder, 'hill.book');

function stemsay(...args: string[]) {
  const ran = spawnSync(process.execPath, ['server/stemsay.mjs', ...args, '--book', book], {
    cwd: root,
    encoding: 'utf8',
  });
  return { status: ran.status, out: ran.stdout, err: ran.stderr };
}

/** Notes of one voice that the model was never trained on. */
const clips = readdirSync(join(root, 'tests/clips/voice'))
  .filter((file) => file.endsWith('.wav'))
  .map((file) => join('tests/clips/voice', file));

test('a voice is learnt from notes that were heard, goes into a file, to another, and is forgotten', () => {
  expect(stemsay('note', 'my name is wren').status).toBe(0);
  expect(stemsay('note', 'my pace is five feet').status).toBe(0);
  const heard = stemsay('hear', ...clips);
  expect(heard.err).toContain(`${clips.length} of ${clips.length} heard`);
  const sounds = Number(/^(\d+) sounds/.exec(stemsay('clips').out)?.[1]);
  expect(sounds).toBeGreaterThanOrEqual(lessonLimits.least);
  const learnt = stemsay('voice', 'learn', 'wren');
  expect(learnt.status, learnt.err).toBe(0);
  // Whether the voice is switched on is for its own clips to say; both sentences tell how many notes it was learnt from.
  const told =
    /^(Learnt\. Of (\d+) tries|wren is heard no better for it).* (\d+) notes, \d+ seconds\.\n$/.exec(
      learnt.out,
    );
  expect(told, learnt.out).not.toBeNull();
  expect(Number(told?.[3])).toBeGreaterThanOrEqual(lessonLimits.least);
  expect(Number(told?.[3])).toBeLessThanOrEqual(sounds);
  const listed = stemsay('voice').out;
  expect(listed).toMatch(/^wren: the words(, and the voice, learnt from \d+ notes)?\n$/);
  for (const file of readdirSync(join(folder, 'voices')))
    expect(statSync(join(folder, 'voices', file)).mode & 0o077).toBe(0);
  const saved = join(folder, 'wren.json');
  const save = stemsay('voice', 'save', 'wren', '--out', saved);
  if (told?.[1]?.startsWith('Learnt')) {
    expect(save.status).toBe(0);
    expect(JSON.parse(readFileSync(saved, 'utf8'))).toMatchObject({ speaker: 'wren' });
    expect(stemsay('voice', 'bring', 'ada', '--from', saved).status).toBe(0);
    expect(stemsay('voice').out).toContain('ada: ');
    expect(stemsay('voice', 'forget', 'ada').status).toBe(0);
  } else expect(existsSync(saved)).toBe(false);
  expect(stemsay('voice', 'forget', 'wren').out).toContain('Forgotten: wren');
  expect(stemsay('voice').out).toContain('Nobody is known here');
});
