/** A word that a book is taught: nobody waits for it but who says it. */
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { expect, test } from 'vitest';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { Learner } from '../../server/desk/learner.ts';
import { createLanguage, type Language } from '../../server/language/language.ts';
import type { Taught } from '../../shared/book/taught.ts';
import { fakeHearing, fakeLanguage } from '../support/fakes.ts';

test('a new word is learnt while others are answered, and who says it is understood', async () => {
  const language = createLanguage();
  const taught: Taught[] = [];
  const hearing = { ...fakeHearing, teach: (now: Taught) => void taught.push(now) };
  const desk = await Desk.open({ store: new MemoryStore(), language, hearing });
  await desk.note('red oak fourteen inches');
  // Another one every time: one that was learnt before on this machine is there at once.
  const letters = [
    ...Date.now()
      .toString(36)
      .replace(/[^a-z]/g, 'e'),
  ].join('');
  const word = `${letters} maple`;
  const stalls = monitorEventLoopDelay({ resolution: 2 });
  stalls.enable();
  const began = performance.now();
  const told = await desk.note(`call sugar maple ${word}`);
  expect(told.answer.state).toBe('kept');
  let known = false;
  const said = desk.note(`${word} eleven inches`).then((answer) => {
    known = true;
    return answer;
  });
  let meanwhile = 0;
  while (!known) {
    const { answer } = await desk.note('red oak fifteen inches');
    expect(answer.state).toBe('kept');
    if (!known) meanwhile++;
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  const learning = performance.now() - began;
  stalls.disable();
  expect(meanwhile).toBeGreaterThan(10);
  expect((await said).answer.note).toMatchObject({ kind: 'tree', facts: { species: 318 } });
  expect(taught.map(({ words }) => words.map((one) => one.word))).toEqual([[word]]);
  // It stood still for all of it before.
  expect(stalls.max / 1e6).toBeLessThan(learning / 3);
  await desk.close();
});

const word = (name: string): Taught => ({ words: [{ word: name, species: 318 }], names: [] });

test('words taught one after another are learnt together, and one that cannot be is told once', async () => {
  const asked: string[] = [];
  const failed: string[] = [];
  let release = () => {};
  const language: Language = {
    ...fakeLanguage,
    async taught({ words }) {
      asked.push(words[0]!.word);
      await new Promise<void>((resolve) => {
        release = resolve;
      });
      if (words[0]!.word === 'bad') throw new Error('no');
      return fakeLanguage;
    },
  };
  const known: Taught[] = [];
  const learner = new Learner(language, {
    learnt: (taught) => void known.push(taught),
    failed: (sentence) => void failed.push(sentence),
  });
  for (const name of ['one', 'two', 'bad']) learner.teach(word(name));
  release();
  await expect.poll(() => asked).toEqual(['one', 'bad']);
  release();
  await learner.settled();
  expect(failed).toHaveLength(1);
  learner.teach(word('bad'));
  await learner.settled();
  expect(asked).toHaveLength(2);
  expect(known.map(({ words }) => words[0]!.word)).toEqual(['one']);
  learner.close();
});
