/** Two notes in one breath are heard as two, and one alone as before: on the project's own clips. */
import { beforeAll, expect, test } from 'vitest';
import { Search } from '../../grammar/decoding/search.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { places } from '../../server/program/places.ts';
import { type AcousticModel, loadAcousticModel } from '../../server/speech/acoustic.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { type SpokenNotes, spokenNotes } from '../support/joined-clips.ts';
import { ownGraph } from '../support/own-graph.ts';

const graph = ownGraph();
const { alone, joined } = spokenNotes(createReader(graph.automaton));
let model: AcousticModel;
beforeAll(async () => {
  model = await loadAcousticModel(places.model);
});

async function wrong(clips: readonly SpokenNotes[], search: Search): Promise<string[]> {
  const missed: string[] = [];
  for (const { text, samples, meant } of clips) {
    const { logp, frames } = await model.run(samples);
    search.reset();
    search.push(logp, frames);
    const best = search.finish().hypotheses[0];
    if (best === undefined || !meant.has(notesKey(best.notes)))
      missed.push(`${text} -> ${best?.words.map(({ word }) => word).join(' ')}`);
  }
  return missed;
}

test('one note alone is heard as by an ear that knows of one only', async () => {
  expect(await wrong(alone, new Search(graph))).toEqual([]);
  expect(await wrong(alone, new Search(graph, { joint: Number.POSITIVE_INFINITY }))).toEqual([]);
}, 120_000);

test('two in one breath are heard as two, which takes the way back', async () => {
  expect((await wrong(joined, new Search(graph))).length).toBeLessThanOrEqual(2);
  const without = await wrong(joined, new Search(graph, { joint: Number.POSITIVE_INFINITY }));
  expect(without.length).toBeGreaterThan(joined.length - 3);
}, 120_000);
