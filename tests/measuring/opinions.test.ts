import { describe, expect, it } from 'vitest';
import { withDialoguePrior } from '../../shared/dialogue/dialogue-prior.ts';
import { twoOpinions } from '../../shared/measuring/doubt/opinions.ts';
import type { Question } from '../../shared/note/acts.ts';
import type { Candidate, Note } from '../../shared/note/note.ts';
import { converse } from '../support/conversation.ts';
import { reader } from '../support/language.ts';

const noteOf = (words: string): Note => {
  const read = reader.read(words);
  if (!read.ok) throw new Error(`"${words}" is not in the grammar`);
  return read.value[0]!.notes[0];
};
/** What the ear may have heard, with its shares. */
const heardAs = (...shares: [string, number][]): Candidate[] =>
  shares.map(([words, posterior]) => ({ words, posterior, notes: [noteOf(words)] }));

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

describe('the talk so far', () => {
  const doubted: Question = { about: 'doubt', text: 'Too tall. Did you mean eight?', options: [] };

  it('nothing was asked: a lone "third" is hardly what was said, "fir" is', async () => {
    const [best, second] = withDialoguePrior(heardAs(['third', 0.6], ['fir', 0.35]), null);
    expect(best!.words).toBe('fir');
    expect(best!.posterior).toBeGreaterThan(0.8);
    expect(second!.words).toBe('third');
  });

  it('a question is open: its answer is believed from less, and nothing clear becomes doubtful', () => {
    const [yes] = withDialoguePrior(heardAs(['yes', 0.75]), doubted);
    expect(yes!.posterior).toBeGreaterThan(0.9);
    const [tree] = withDialoguePrior(heardAs(['red oak fourteen inches', 0.75]), doubted);
    expect(tree!.posterior).toBe(0.75);
    const [fir] = withDialoguePrior(heardAs(['percent', 0.5], ['fir', 0.2]), doubted);
    expect(fir!.words).toBe('fir');
  });

  it('a "yes" to nothing is not kept, however clear it sounds; to a question it is', async () => {
    const { session, mumble } = await stand();
    const astray = await mumble(['yes', 0.93]);
    expect(astray.answer.state).toBe('refused');
    expect(astray.answer.reply).not.toContain('Did you say');
    const far = await session.tell({ words: 'eighty paces', candidates: heardAs(['eighty paces', 1]) });
    expect(far.question?.about).toBe('doubt');
    const answered = await mumble(['no', 0.8]);
    expect(answered.answer.reply).not.toContain('Did you say');
    expect(session.book.doubts.at(-1)?.state).not.toBe('kept');
  });

  it('belief is never more than whole, and what fits neither better nor worse keeps its share', () => {
    const even = heardAs(['eight paces', 0.5], ['eighteen paces', 0.3]);
    expect(withDialoguePrior(even, null).map(({ posterior }) => posterior)).toEqual([0.5, 0.3]);
    for (const question of [null, doubted])
      for (const [a, b] of [
        [0.9, 0.1],
        [0.2, 0.1],
        [0.05, 0.01],
      ] as const) {
        const shares = withDialoguePrior(heardAs(['yes', a], ['nine paces', b]), question);
        expect(shares.reduce((sum, { posterior }) => sum + posterior, 0)).toBeLessThan(1 + 1e-9);
      }
  });

  it('typed words are what they are, whatever was asked', async () => {
    const { session } = await stand();
    const told = await session.tell({ words: 'third one', candidates: heardAs(['third one', 1]) });
    expect(told.answer.asks ?? '').not.toContain('Did you say');
  });
});
