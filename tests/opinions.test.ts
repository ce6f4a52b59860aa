import { describe, expect, it } from 'vitest';
import { twoOpinions } from '../shared/doubt/opinions.ts';
import type { Candidate, Note } from '../shared/note.ts';
import { converse, reader } from './conversation.ts';

const noteOf = (words: string): Note => {
  const read = reader.read(words);
  if (!read.ok) throw new Error(`"${words}" is not in the grammar`);
  return read.value[0]!.note;
};
/** What the ear may have heard, with its shares. */
const heardAs = (...shares: [string, number][]): Candidate[] =>
  shares.map(([words, posterior]) => ({ words, posterior, note: noteOf(words) }));

/** A talk with a book that knows the pace and some beeches of 70 to 80 feet, and a mouth that mumbles. */
async function stand() {
  const { session, say } = await converse();
  await say('my pace is five point three feet', 'eye height five and a half feet');
  for (const [inches, paces] of [
    [12, 'twelve'],
    [13, 'thirteen'],
    [14, 'thirteen and a half'],
    [16, 'fourteen'],
    [12, 'twelve and a half'],
    [15, 'thirteen'],
  ])
    await say(`beech ${inches} inches`, `${paces} paces`);
  await say('beech fourteen inches');
  const mumble = (...shares: [string, number][]) =>
    session.tell({
      words: shares[0]![0],
      candidates: heardAs(...shares),
      heard: { margin: 1, posterior: shares[0]![1], times: [] },
    });
  return { session, mumble };
}

describe('two opinions', () => {
  it('eighty or eight paces, the sound unsure: the trees settle it, and it is told', async () => {
    const { mumble } = await stand();
    const told = await mumble(['eighty paces', 0.55], ['eighteen paces', 0.02], ['thirteen paces', 0.41]);
    expect(told.answer.state).toBe('kept');
    expect(told.answer.height?.feet).toBeCloseTo(13 * 5.3 + 5.5, 1);
    expect(told.answer.reply).toContain('Taken as thirteen paces, not eighty paces.');
  });

  it('both possible: it asks, whatever the sound said first', async () => {
    const { mumble } = await stand();
    const told = await mumble(['thirteen paces', 0.5], ['fourteen paces', 0.45]);
    expect(told.answer.state).toBe('asking');
    expect(told.answer.asks).toContain('thirteen paces');
    expect(told.answer.asks).toContain('fourteen paces');
  });

  it('a clear sound is never overruled: an odd height is doubted, not replaced', async () => {
    const { mumble } = await stand();
    const told = await mumble(['eighty paces', 0.97], ['thirteen paces', 0.02]);
    expect(told.answer.reply).not.toContain('Taken as');
    expect(told.answer.state).toBe('asking');
    expect(told.doubts.length).toBeGreaterThan(0);
  });

  it('has no opinion on words that were typed, on other notes, and before a pace is set', async () => {
    const { session } = await stand();
    const typed = await session.tell({
      words: 'eighty paces',
      candidates: heardAs(['eighty paces', 0.55], ['thirteen paces', 0.41]),
    });
    expect(typed.answer.state).toBe('asking');
    expect(typed.answer.reply).not.toContain('Taken as');
    const { session: fresh } = await converse();
    const early = await fresh.tell({
      words: 'eighty paces',
      candidates: heardAs(['eighty paces', 0.55], ['eight paces', 0.41]),
      heard: { margin: 1, posterior: 0.55, times: [] },
    });
    expect(early.answer.state).toBe('asking');
  });

  it('belief is shared out anew, never made: the sum stays', async () => {
    const { session } = await stand();
    const before = heardAs(['eighty paces', 0.4], ['thirteen paces', 0.3]);
    const after = twoOpinions(before, { settings: session.settings, curve: session.book.curve, tree: null });
    const sum = (some: readonly Candidate[]) => some.reduce((total, { posterior }) => total + posterior, 0);
    expect(sum(after)).toBeCloseTo(sum(before), 12);
    expect(after[0]!.words).toBe('thirteen paces');
  });
});
