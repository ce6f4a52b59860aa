/**
 * A read-aloud session of fifteen notes in the demo wood: five slips of five kinds, each caught on the spot with its
 * right cause first. The expected replies stand in `sessions/slips.txt`, the reckoning by hand beside them.
 */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { morningNotes, shownNotes } from '../../server/commands/demo.ts';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createLanguage } from '../../server/language/language.ts';
import type { Told } from '../../shared/dialogue/types.ts';

interface Turn {
  readonly words: string;
  readonly reply: string;
  /** The slip that must stand first; null where nothing may be doubted. */
  readonly slip: string | null;
}

function turnsOf(text: string): Turn[] {
  const turns: Turn[] = [];
  let slip: string | null = null;
  let words = '';
  for (const line of text.split('\n')) {
    if (line.startsWith('# slip: ')) slip = line.slice(8);
    else if (line.startsWith('  ')) {
      turns.push({ words, reply: line.trim(), slip });
      slip = null;
    } else if (line !== '' && !line.startsWith('#')) words = line;
  }
  return turns;
}

const turns = turnsOf(readFileSync(new URL('../sessions/slips.txt', import.meta.url), 'utf8'));

describe('fifteen notes read aloud in the demo wood', () => {
  const told: Told[] = [];
  let before = 0;
  beforeAll(async () => {
    const desk = await Desk.open({ store: new MemoryStore(), language: createLanguage() });
    for (const { words, position } of [...morningNotes(), ...shownNotes]) await desk.note(words, position);
    before = desk.doubts().length;
    for (const { words } of turns) told.push(await desk.note(words));
    expect(desk.doubts().filter((doubt) => doubt.state === 'open' && doubt.strength >= 0.5)).toEqual([]);
    expect(desk.doubts().length - before).toBe(5);
  });

  test('are fifteen, with five slips of five kinds', () => {
    expect(turns).toHaveLength(15);
    expect(new Set(turns.flatMap(({ slip }) => slip ?? [])).size).toBe(5);
  });

  for (const [at, { words, reply, slip }] of turns.entries()) {
    test(`${words}${slip === null ? '' : ` (${slip})`}`, () => {
      const { answer } = told[at]!;
      expect(answer.reply).toBe(reply);
      expect(answer.state).toBe(slip === null ? 'kept' : 'asking');
      expect(answer.doubts[0]?.slips[0]?.slip ?? null).toBe(slip);
    });
  }
});
