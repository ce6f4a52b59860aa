import { type ChildProcess, fork } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, truncateSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { places } from '../../server/program/places.ts';
import { readWav } from '../../server/speech/audio.ts';
import { createHearing, type Hearing } from '../../server/speech/hear.ts';
import { nothingTaught } from '../../shared/book/taught.ts';
import { heardSchema } from '../../shared/note/journal.ts';
import { noteSchema } from '../../shared/note/note.ts';

const folder = fileURLToPath(new URL('..', import.meta.url));

function clip(name: string): Float32Array {
  const sound = readWav(readFileSync(join(folder, 'clips', `${name}.wav`)));
  if (!sound.ok) throw new Error(sound.error.message);
  return sound.value.samples;
}

/** White or low-passed noise from a seed, at 2 % of full scale. */
function noise(seconds: number, smooth: number): Float32Array {
  let state = 99;
  let low = 0;
  return Float32Array.from({ length: 16000 * seconds }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    low += (1 - smooth) * (state / 2 ** 31 - 1 - low);
    return (0.02 * low) / Math.sqrt(1 - smooth);
  });
}

describe('hearing', () => {
  let hearing: Hearing;
  beforeAll(async () => {
    // Beside busy programs a clip takes its time.
    hearing = createHearing({ patience: 240_000 });
    expect(await hearing.ready).toEqual({ ok: true, value: undefined });
  });
  afterAll(() => hearing.close());

  test('a spoken note has its meaning, its words in their times, and belief', async () => {
    const samples = clip('stick-spans-seventy-feet');
    const heard = await hearing.hear(samples);
    if (!heard.ok) throw new Error(heard.error.message);
    const { candidates, facts } = heard.value;
    expect(candidates[0]!.notes[0]).toEqual({
      kind: 'height',
      height: { method: 'spans', distance: { by: 'length', length: { value: 70, unit: 'ft' } } },
    });
    for (const candidate of candidates) expect(noteSchema.safeParse(candidate.notes[0]).success).toBe(true);
    const total = candidates.reduce((sum, candidate) => sum + candidate.posterior, 0);
    expect(total).toBeLessThanOrEqual(1 + 1e-9);
    expect(facts.posterior).toBeGreaterThan(0.8);
    expect(heardSchema.safeParse(facts).success).toBe(true);
    expect(facts.times!.map((time) => time.word)).toEqual(['stick', 'spans', 'seventy', 'feet']);
    let before = 0;
    for (const { from, to } of facts.times!) {
      expect(from).toBeGreaterThanOrEqual(before);
      expect(to).toBeGreaterThan(from);
      before = to;
    }
    expect(before).toBeLessThanOrEqual(samples.length / 16000);
  });

  test('clips sent at once are answered each with its own', async () => {
    const names = ['thirteen', 'how-many-trees', 'thirty-paces'];
    const heard = await Promise.all(names.map((name) => hearing.hear(clip(name))));
    const words = heard.map((one) => (one.ok ? one.value.candidates[0]!.words : one.error.message));
    expect(words).toEqual(['thirteen', 'how many trees', 'thirty paces']);
  });

  test('silence and noise are nothing', async () => {
    for (const samples of [new Float32Array(32000), noise(3, 0), noise(3, 0.9), noise(3, 0.99)]) {
      const heard = await hearing.hear(samples);
      expect(heard.ok ? heard.value.candidates[0]!.words : heard.error.kind).toMatch(/^(nothing|unclear)$/);
    }
  });

  test('a sound longer than the model can take is refused', async () => {
    const heard = await hearing.hear(noise(31, 0));
    expect(heard.ok ? '' : heard.error.message).toMatch(/at most|may last 30 s/);
  });

  test('a word that the user teaches is heard from the next clip on, and forgotten when it is taken back', async () => {
    const species = async () => {
      const heard = await hearing.hear(clip('beech-centre-at-thirty-six-point-nine-feet-in-or-out'));
      const note = heard.ok && heard.value.candidates[0]!.notes[0];
      return note && note.kind === 'borderline' && note.facts?.species;
    };
    expect(await species()).toBe('beech');
    hearing.teach({ words: [{ word: 'beech', species: 318 }], names: [] });
    expect(await species()).toBe(318);
    hearing.teach(nothingTaught);
    expect(await species()).toBe('beech');
  });

  test('a name that the book knows is believed from less', async () => {
    const share = async () => {
      const heard = await hearing.hear(clip('stand-alder-hollow-twelve-acres'));
      const best = heard.ok ? heard.value.candidates[0]! : null;
      expect(best?.words).toBe('stand alder hollow twelve acres');
      return best!.posterior;
    };
    const unknown = await share();
    hearing.teach({ words: [], names: ['Alder Hollow', 'Wren'] });
    expect(await share()).toBeGreaterThan(unknown);
    hearing.teach(nothingTaught);
    expect(await share()).toBeCloseTo(unknown, 9);
  });

  test('a long clip is heard wherever in it the note stands, also across two windows of the model', async () => {
    for (const second of [1, 10.5, 28]) {
      const samples = new Float32Array(30 * 16000);
      samples.set(clip('thirteen'), 16000 * second);
      const heard = await hearing.hear(samples);
      expect(heard.ok && heard.value.candidates[0]!.words).toBe('thirteen');
      expect(heard.ok && heard.value.facts.times![0]!.from).toBeCloseTo(second, 0);
    }
  });
});

describe('a process that hears and dies', () => {
  const fake = (modes: string[]) => {
    const started: ChildProcess[] = [];
    const spawn = () => {
      const child = fork(
        join(folder, 'sound', 'dying-worker.mjs'),
        [modes[started.length] ?? modes.at(-1)!],
        {
          serialization: 'advanced',
        },
      );
      started.push(child);
      return child;
    };
    return { spawn, started };
  };
  const samples = new Float32Array(1600);

  test('is replaced, the clip in hand is tried again and the person told', async () => {
    const { spawn, started } = fake(['die', 'answer']);
    const told: string[] = [];
    const hearing = createHearing({ spawn, onTrouble: (sentence) => told.push(sentence) });
    const both = await Promise.all([hearing.hear(samples), hearing.hear(samples)]);
    for (const one of both) expect(one.ok ? '' : one.error.message).toBe(String(started[1]!.pid));
    expect(told).toEqual(['Hearing stopped and was started again.']);
    await hearing.close();
  });

  test('hands what it was taught on to the one that takes its place', async () => {
    const { spawn, started } = fake(['die', 'answer']);
    const hearing = createHearing({ spawn });
    hearing.teach({ words: [{ word: 'hard rock', species: 318 }], names: [] });
    const heard = await hearing.hear(samples);
    expect(heard.ok ? '' : heard.error.message).toBe(`${started[1]!.pid} hard rock`);
    await hearing.close();
  });

  test('on the same clip twice costs that clip only', async () => {
    const { spawn } = fake(['die', 'die', 'answer']);
    const hearing = createHearing({ spawn });
    const [first, second] = await Promise.all([hearing.hear(samples), hearing.hear(samples)]);
    expect(first.ok ? '' : first.error.message).toMatch(/stopped twice on this clip/);
    expect(second.ok ? '' : second.error.kind).toBe('unclear');
    await hearing.close();
  });

  test('again and again makes hearing give up, with the reason for every clip', async () => {
    const { spawn, started } = fake(['stillborn']);
    const hearing = createHearing({ spawn });
    const heard = await hearing.hear(samples);
    expect(heard.ok ? '' : heard.error.message).toMatch(/stopped 3 times.*Typed notes still work/);
    expect(hearing.deaf).toMatch(/3 times/);
    expect(await hearing.ready).toEqual({ ok: false, error: hearing.deaf });
    expect((await hearing.hear(samples)).ok).toBe(false);
    expect(started.length).toBe(3);
    await hearing.close();
  });

  test('that hangs is ended and replaced', async () => {
    const { spawn, started } = fake(['stall', 'answer']);
    const hearing = createHearing({ spawn, patience: 300 });
    const heard = await hearing.hear(samples);
    expect(heard.ok ? '' : heard.error.message).toBe(String(started[1]!.pid));
    await hearing.close();
  });

  test('does not answer clips beyond the queue', async () => {
    const { spawn } = fake(['stall']);
    const hearing = createHearing({ spawn });
    await hearing.ready;
    const heard = Array.from({ length: 10 }, () => hearing.hear(samples));
    const last = await heard[9]!;
    expect(last.ok ? '' : last.error.kind).toBe('busy');
    await hearing.close();
    for (const one of await Promise.all(heard)) expect(one.ok).toBe(false);
  });
});

describe('a model', () => {
  const damaged: string[] = [];
  afterAll(() => {
    for (const path of damaged) rmSync(path, { recursive: true });
  });

  test('that is missing leaves the program deaf, with the reason', async () => {
    const hearing = createHearing({ model: join(tmpdir(), 'no-such-model') });
    const ready = await hearing.ready;
    expect(ready.ok ? '' : ready.error).toMatch(/speech model is missing/);
    const heard = await hearing.hear(new Float32Array(16000));
    expect(heard.ok ? '' : heard.error.kind).toBe('deaf');
    await hearing.close();
  });

  test('that is damaged leaves the program deaf, with the reason', async () => {
    const model = join(mkdtempSync(join(tmpdir(), 'model-')), 'model');
    damaged.push(join(model, '..'));
    cpSync(places.model, model, { recursive: true });
    truncateSync(join(model, 'onnx', 'model_quantized.onnx'), 1_000_000);
    const hearing = createHearing({ model });
    const ready = await hearing.ready;
    expect(ready.ok ? '' : ready.error).toMatch(/missing or damaged/);
    await hearing.close();
  });
});
