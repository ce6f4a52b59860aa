/** When a note begins and ends, without hands: the state machine with made-up frames, its parts with real sound. */
import { readdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createNoteEndings } from '../../grammar/decoding/endpointing.ts';
import { type Listened, Listener } from '../../grammar/decoding/listener.ts';
import { wakeWords, withWakeWord } from '../../grammar/decoding/wake-word.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { keptAutomaton } from '../../server/language/automaton-cache.ts';
import { readWav } from '../../server/speech/audio.ts';
import { loadActivity } from '../../server/speech/voice-activity.ts';
import {
  type Decided,
  type EndpointFrame,
  type EndpointState,
  hasEnded,
  type ListeningGate,
  endpointLimits as limits,
  listen,
  quietState,
  type Standing,
} from '../../shared/sound/endpointing.ts';
import { GrowingFeatures } from '../../shared/sound/growing-features.ts';
import { behindGate, gateLimits } from '../../shared/sound/quiet-gate.ts';
import { ResampleStream, resample } from '../../shared/sound/resample.ts';
import { energyActivity, type VoiceActivity, voiceFrame } from '../../shared/sound/voice-activity.ts';
import { featuresOf } from '../../shared/sound/windows.ts';
import { pink, seeded, soundscapes } from '../bench/voices/noise.ts';

const folder = fileURLToPath(new URL('../clips/', import.meta.url));
const clipNames = readdirSync(folder).filter((name) => name.endsWith('.wav'));
function clip(name: string): Float32Array {
  const sound = readWav(readFileSync(join(folder, name)));
  if (!sound.ok) throw new Error(sound.error.message);
  return sound.value.samples;
}

const voiced = (standing: Standing = 'unknown'): EndpointFrame => ({
  voice: 0.95,
  level: -25,
  standing,
  gate: 'open',
});
const silent = (standing: Standing = 'unknown'): EndpointFrame => ({
  voice: 0.02,
  level: -60,
  standing,
  gate: 'open',
});
const times = <T>(count: number, value: T): T[] => Array.from({ length: count }, () => value);

/** All frames after another; what was decided, with the frame that decided it. */
function through(frames: readonly EndpointFrame[]): {
  decided: (Decided & { at: number })[];
  state: EndpointState;
} {
  let state = quietState;
  const decided: (Decided & { at: number })[] = [];
  for (const frame of frames) {
    const step = listen(state, frame);
    state = step.state;
    if (step.decided) decided.push({ ...step.decided, at: state.now });
  }
  return { decided, state };
}

describe('the listening machine', () => {
  test('a note begins a third of a second before its first voice and ends with the silence that closes it', () => {
    const { decided, state } = through([
      ...times(40, silent()),
      ...times(30, voiced()),
      ...times(30, silent('closed')),
    ]);
    expect(decided.map((one) => one.kind)).toEqual(['began', 'paused', 'ended']);
    expect(decided[0]).toMatchObject({ from: 40 - limits.preroll });
    expect(decided[2]).toMatchObject({ from: 40 - limits.preroll, to: 70 + limits.waits.closed });
    expect(state.phase).toBe('idle');
  });

  test('the surer the grammar is that nothing follows, the shorter the wait', () => {
    const waits = (['open', 'unknown', 'longer', 'complete', 'closed'] as const).map((standing) => {
      const { decided } = through([...times(20, voiced()), ...times(60, silent(standing))]);
      return decided.at(-1)!.at - 20;
    });
    expect(waits).toEqual(Object.values([...waits].sort((a, b) => b - a)));
    expect(new Set(waits).size).toBe(5);
    // Silence wait included, an answer within 350 ms leaves at most 0.25 s for a note that is complete.
    expect(waits[3]! * 0.032).toBeLessThanOrEqual(0.25);
  });

  test('a silence that began with the last sound of the words, before the voice network fell silent, ends the note as much sooner', () => {
    const late = 4;
    const looked = (silence: number): EndpointFrame => ({
      ...silent('longer'),
      rested: silence > limits.paused ? silence + late : undefined,
    });
    const { decided } = through([
      ...times(30, voiced()),
      ...Array.from({ length: 40 }, (_, i) => looked(i + 1)),
    ]);
    expect(decided.map((one) => one.kind)).toEqual(['began', 'paused', 'ended']);
    expect(decided.at(-1)!.at).toBe(30 + limits.waits.longer - late / 2);
    // Words that end later than the voice, as a model hears them in noise, keep nothing waiting.
    expect(hasEnded({ silent: limits.waits.closed, standing: 'closed', rested: 0 })).toBe(true);
    expect(hasEnded({ silent: limits.waits.closed - 1, standing: 'closed', rested: 0 })).toBe(false);
  });

  test('a pause inside of a note does not end it', () => {
    const { decided } = through([
      ...times(20, voiced()),
      ...times(limits.waits.longer - 1, silent('longer')),
      ...times(20, voiced('longer')),
      ...times(40, silent('closed')),
    ]);
    expect(decided.map((one) => one.kind)).toEqual(['began', 'paused', 'resumed', 'paused', 'ended']);
  });

  test('a click is dropped', () => {
    const { decided } = through([...times(20, silent()), voiced(), ...times(40, silent())]);
    expect(decided.map((one) => one.kind)).toEqual(['began', 'dropped']);
  });

  test('talk without an end is left out whole, and the next note is heard after a silence', () => {
    const { decided } = through([
      ...times(2000, voiced()),
      ...times(60, silent()),
      ...times(30, voiced()),
      ...times(60, silent()),
    ]);
    expect(decided.map((one) => one.kind)).toEqual(['began', 'overlong', 'began', 'paused', 'ended']);
    expect(decided[1]!.at * 0.032).toBeLessThanOrEqual(30);
  });

  test('while it is muted nothing begins, and what was begun is given up', () => {
    const muted = { ...voiced(), gate: 'muted' as const };
    const { decided, state } = through([...times(10, voiced()), ...times(100, muted)]);
    expect(decided.map((one) => one.kind)).toEqual(['began', 'dropped']);
    expect(state.phase).toBe('idle');
  });

  test('who speaks on when it listens again is in the middle of something: a fragment is no note', () => {
    const muted = { ...voiced(), gate: 'muted' as const };
    const { decided } = through([
      ...times(50, muted),
      ...times(30, voiced()),
      ...times(60, silent()),
      ...times(30, voiced()),
      ...times(60, silent()),
    ]);
    expect(decided.map((one) => one.kind)).toEqual(['began', 'paused', 'ended']);
    expect(decided[0]!.at).toBeGreaterThan(140);
    // After a reply that ended in silence the next word begins a note.
    const quiet = { ...silent(), gate: 'muted' as const };
    const { decided: usual } = through([...times(50, quiet), ...times(4, silent()), ...times(30, voiced())]);
    expect(usual.map((one) => [one.kind, one.at])).toEqual([['began', 55]]);
  });

  test('the echo of its own voice interrupts nothing; a person who speaks over it does', () => {
    const reply = (level: number): EndpointFrame => ({
      voice: 0.95,
      level,
      standing: 'unknown',
      gate: 'guarded',
    });
    const echo = Array.from({ length: 200 }, (_, i) => reply(-32 + 4 * Math.sin(i / 3)));
    expect(through(echo).decided).toEqual([]);
    const { decided } = through([
      ...echo,
      ...times(limits.clearFor, reply(-15)),
      ...times(10, voiced()),
      ...times(60, silent()),
    ]);
    expect(decided.map((one) => one.kind)).toEqual(['interrupted', 'paused', 'ended']);
    // What was said over the reply is part of the note.
    expect(decided.at(-1)).toMatchObject({ from: expect.toSatisfy((from: number) => from <= 200) });
    expect(decided.at(-1)).toMatchObject({ from: expect.toSatisfy((from: number) => from > 190) });
  });

  const anyFrame = fc.record({
    voice: fc.oneof(fc.constantFrom(0, 1), fc.double({ min: 0, max: 1, noNaN: true })),
    level: fc.double({ min: -90, max: 0, noNaN: true }),
    standing: fc.constantFrom<Standing>('unknown', 'open', 'longer', 'complete', 'closed'),
    gate: fc.constantFrom<ListeningGate>('open', 'open', 'open', 'open', 'muted', 'guarded'),
  });
  /** Runs of like frames: single random frames would hardly ever make a word. */
  const anyFrames = fc
    .array(fc.tuple(anyFrame, fc.integer({ min: 1, max: 60 })), { maxLength: 40 })
    .map((runs) => runs.flatMap(([frame, length]) => times(length, frame)));

  test('law: whatever comes, clips keep the order of time, never overlap, and each that began comes to one end', () => {
    fc.assert(
      fc.property(anyFrames, (frames) => {
        const { decided, state } = through(frames);
        let last = 0;
        let open = false;
        for (const one of decided) {
          if (one.kind === 'began' || one.kind === 'interrupted') {
            expect(open).toBe(false);
            open = true;
          }
          if (one.kind === 'ended' || one.kind === 'dropped' || one.kind === 'overlong') {
            expect(open).toBe(true);
            open = false;
          }
          if (one.kind === 'ended' || one.kind === 'overlong') {
            expect(one.from).toBeGreaterThanOrEqual(last);
            expect(one.to).toBeGreaterThan(one.from);
            expect(one.to).toBeLessThanOrEqual(one.at);
            expect((one.to - one.from) * 0.032).toBeLessThanOrEqual(30);
            last = one.to;
          }
        }
        expect(open).toBe(state.phase !== 'idle' && !state.over);
        expect(state.now).toBe(frames.length);
      }),
      { numRuns: 300 },
    );
  });

  test('law: enough silence brings rest, from everywhere', () => {
    fc.assert(
      fc.property(anyFrames, (frames) => {
        expect(through([...frames, ...times(limits.waits.open + 1, silent())]).state.phase).toBe('idle');
      }),
      { numRuns: 100 },
    );
  });
});

describe('a listener', () => {
  /** Hears a voice in whatever is loud. */
  const loud: VoiceActivity = {
    kind: 'energy',
    probability: async (frame) => (Math.abs(frame[0]!) > 0.1 ? 1 : 0),
    reset() {},
  };
  const follow = (ear: ConstructorParameters<typeof Listener>[0]['ear'] = null) => {
    const events: Listened[] = [];
    const listener = new Listener({ voice: loud, ear, tell: (event) => events.push(event) });
    const sound = (seconds: number, value: number) =>
      listener.push(new Float32Array(Math.round(seconds * 16_000)).fill(value));
    return {
      events,
      listener,
      sound,
      kinds: () => events.map((event) => event.kind).filter((kind) => kind !== 'passed'),
    };
  };

  test('without an ear cuts what was said, with a little before and the silence behind it', async () => {
    const { events, sound, kinds } = follow();
    await sound(2, 0);
    await sound(1, 0.5);
    await sound(2, 0);
    expect(kinds()).toEqual(['speech', 'speech', 'unheard']);
    const cut = events.find((event) => event.kind === 'unheard')!;
    expect(cut.from / 16_000).toBeCloseTo(2 - 0.3, 1);
    expect(cut.to / 16_000).toBeCloseTo(3 + limits.waits.unknown * 0.032, 1);
  });

  test('whose ear breaks gives the clip away instead of losing it', async () => {
    const encode = async () => {
      throw new Error('out of memory');
    };
    const { sound, kinds } = follow({
      encode,
      outputs: 40,
      language: () => ({ search: {} as never, endings: {} as never, wakeWord: 0 }),
    });
    for (let i = 0; i < 2; i++) {
      await sound(1, 0.5);
      await sound(2, 0);
    }
    expect(kinds()).toEqual(['speech', 'speech', 'unheard', 'speech', 'speech', 'unheard']);
  });

  test('an answer behind a note is waited for: "ten paces, aye" is on its way to "ten paces eye five"', async () => {
    const height = {
      kind: 'height',
      height: { method: 'stick', distance: { by: 'paces', count: 10 } },
    } as const;
    const aye = { kind: 'answer', answer: 'yes' } as const;
    const ended = async (...notes: readonly object[]): Promise<number> => {
      const found = {
        hypotheses: [{ notes, words: [{ word: 'paces', margin: 0, gap: 0, from: 5, to: 20 }], ...sure }],
        speechFrames: 30,
      };
      const search = {
        reset() {},
        push() {},
        partial: () => ({ words: ['paces'], complete: { notes, behind: 0 }, lost: 0 }),
        finish: () => found,
      };
      const { events, sound } = follow({
        // The first phone to the last frame: the words tell of no silence, only the voice does.
        encode: async ({ frames }) => ({
          data: new Float32Array(40 * Math.ceil(frames / 2)).map((_, i) => (i % 40 === 1 ? 1 : 0)),
          outputs: 40,
        }),
        outputs: 40,
        language: () => ({
          search: search as never,
          endings: { standing: () => 'complete', share: () => 1 },
          wakeWord: 0,
        }),
      });
      await sound(0.96, 0);
      await sound(0.96, 0.5);
      await sound(1.6, 0);
      const heard = events.find((event) => event.kind === 'heard');
      return (heard?.to ?? Number.NaN) / 16_000 - 1.92;
    };
    const sure = { logp: 0, unusual: 3, odd: 0, doubt: 0, posterior: 0.999, lead: 0, worst: 0 };
    expect(await ended(height)).toBeLessThanOrEqual(limits.waits.complete * 0.032 + 0.001);
    expect(await ended(height, aye)).toBeGreaterThan(limits.waits.longer * 0.032);
  });

  test('muted in the middle hears out what was said before, and nothing after', async () => {
    const { events, listener, sound, kinds } = follow();
    // Whole frames: one that is half of both belongs to what follows.
    void sound(0.512, 0.5);
    void sound(1.536, 0);
    listener.attend('muted');
    void sound(1.024, 0.5);
    listener.attend('open');
    await sound(2, 0);
    expect(kinds()).toEqual(['speech', 'speech', 'unheard']);
    expect(events.find((event) => event.kind === 'unheard')!.to / 16_000).toBeLessThan(2);
  });

  test('law: however the sound is cut in pieces, it tells the same', async () => {
    const said = [0, 1, 0, 0, 1, 1, 0, 0, 0].flatMap((value) => times(8000, 0.5 * value));
    const told = async (lengths: readonly number[]) => {
      const { events, listener } = follow();
      let at = 0;
      for (let i = 0; at < said.length; i++) {
        const length = lengths[i % lengths.length]!;
        await listener.push(Float32Array.from(said.slice(at, at + length)));
        at += length;
      }
      return events;
    };
    const whole = await told([said.length]);
    expect(whole.some((event) => event.kind === 'unheard')).toBe(true);
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.integer({ min: 1, max: 5000 }), { minLength: 1, maxLength: 5 }),
        async (lengths) => {
          fc.pre(lengths.some((length) => length > 200));
          expect(await told(lengths)).toEqual(whole);
        },
      ),
      { numRuns: 15 },
    );
  });

  test('says what is dealt with, never what is still being said', async () => {
    const { events, sound } = follow();
    await sound(5, 0);
    await sound(4, 0.5);
    const passed = events.flatMap((event) => (event.kind === 'passed' ? event.to : []));
    expect(passed.at(-1)).toBeGreaterThan(2 * 16_000);
    // The clip in hand begins at 4.7 s.
    expect(Math.max(...passed)).toBeLessThan(4.7 * 16_000);
  });
});

describe('sound that still grows', () => {
  test('law: its features are those of the clip as if it ended here, however it came in', () => {
    const sound = clip('eight-paces-eye-five-and-a-half.wav');
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 9000 }), { minLength: 1, maxLength: 12 }),
        fc.integer({ min: 0, max: 4000 }),
        (lengths, start) => {
          const growing = new GrowingFeatures();
          let at = start;
          for (const length of lengths) {
            growing.push(sound.subarray(at, at + length));
            at = Math.min(sound.length, at + length);
          }
          expect(growing.length).toBe(at - start);
          const now = growing.now();
          const whole = featuresOf(sound.subarray(start, at));
          expect(now.frames).toBe(whole.frames);
          let most = 0;
          for (let i = 0; i < whole.data.length; i++)
            most = Math.max(most, Math.abs(now.data[i]! - whole.data[i]!));
          expect(most).toBeLessThan(1e-6);
        },
      ),
      { numRuns: 25 },
    );
  });

  test('law: resampled piece by piece it is what it is as a whole', () => {
    const sound = pink(20_000, seeded(4));
    fc.assert(
      fc.property(
        fc.constantFrom(48_000, 44_100, 22_050, 16_000, 8000, 96_000),
        fc.array(fc.integer({ min: 1, max: 3000 }), { minLength: 1, maxLength: 10 }),
        (rate, lengths) => {
          const stream = new ResampleStream(rate, 16_000);
          const pieces: number[] = [];
          let at = 0;
          for (const length of lengths) {
            pieces.push(...stream.push(sound.slice(at, at + length)));
            at = Math.min(sound.length, at + length);
          }
          pieces.push(...stream.end());
          const whole = resample(sound.slice(0, at), rate, 16_000);
          expect(pieces.length).toBe(whole.length);
          for (let i = 0; i < whole.length; i++) expect(Math.abs(pieces[i]! - whole[i]!)).toBeLessThan(1e-6);
        },
      ),
      { numRuns: 12 },
    );
  });
});

/** Share of frames in which somebody speaks. */
async function share(activity: VoiceActivity, sound: Float32Array): Promise<number> {
  let count = 0;
  let frames = 0;
  for (let at = 0; at + voiceFrame <= sound.length; at += voiceFrame, frames++)
    if ((await activity.probability(sound.slice(at, at + voiceFrame))) >= limits.begins) count++;
  return count / frames;
}

describe('voice activity', () => {
  test('the network finds the voice in every clip and none in the sounds of a wood', async () => {
    const network = await loadActivity();
    expect(network().kind).toBe('network');
    for (const name of clipNames.slice(0, 8)) {
      expect([name, await share(network(), clip(name))]).toEqual([
        name,
        expect.toSatisfy((part: number) => part > 0.35),
      ]);
    }
    for (const [kind, make] of Object.entries(soundscapes))
      expect([kind, await share(network(), make(5 * 16_000, seeded(2)))]).toEqual([
        kind,
        expect.toSatisfy((part: number) => part < 0.05),
      ]);
  });

  test('loudness alone finds the voices too, and a steady noise is none', async () => {
    for (const name of clipNames.slice(0, 12)) {
      const sound = new Float32Array(16_000 + clip(name).length);
      pink(sound.length, seeded(3)).forEach((x, i) => {
        sound[i] = 0.001 * x;
      });
      clip(name).forEach((x, i) => {
        sound[16_000 + i]! += x;
      });
      expect(await share(energyActivity(), sound)).toBeGreaterThan(0.25);
    }
    for (const kind of ['hiss', 'pink'] as const)
      expect(await share(energyActivity(), soundscapes[kind]!(8 * 16_000, seeded(2)))).toBeLessThan(0.05);
  });

  test('a missing or damaged network is told, and loudness decides instead', async () => {
    const told: string[] = [];
    for (const file of [join(tmpdir(), 'no-such.onnx'), fileURLToPath(import.meta.url)])
      expect((await loadActivity(file, (sentence) => told.push(sentence)))().kind).toBe('energy');
    expect(told).toHaveLength(2);
    for (const sentence of told) expect(sentence).toMatch(/missing or damaged .* loudness decides instead/);
  });
});

describe('what the grammar says of the words so far', () => {
  const endings = createNoteEndings(keptAutomaton(grammar), grammar);
  const standing = (words: string) => endings.standing(words.split(' '));

  test('the beginning of a note, a note that mostly goes on, one that seldom does, one that cannot', () => {
    expect(standing('eye height five')).not.toBe('open');
    expect(standing('my pace is')).toBe('open');
    expect(standing('eight paces')).toBe('longer');
    expect(standing('stick spans seventy')).toBe('longer');
    expect(standing('eight paces eye five and a half')).toBe('complete');
    expect(standing('my pace is five point three feet')).toBe('closed');
    expect(standing('volume per acre by doyle')).toMatch(/complete|closed/);
    expect(standing('stop listening')).toMatch(/complete|closed/);
  });
});

describe('the gate before the voice network', () => {
  /** A network that counts its frames and takes what is loud for a voice. */
  const counting = () => {
    let frames = 0;
    const network: VoiceActivity = {
      kind: 'network',
      probability: async (frame) => {
        frames++;
        return frame.some((sample) => Math.abs(sample) > 0.05) ? 0.9 : 0;
      },
      reset() {},
    };
    return { network, frames: () => frames };
  };
  const through = async (sound: Float32Array, voice: VoiceActivity) => {
    const said: number[] = [];
    for (let at = 0; at + voiceFrame <= sound.length; at += voiceFrame)
      said.push(await voice.probability(sound.subarray(at, at + voiceFrame)));
    return said;
  };

  test('the network rests in the hiss of a still wood', async () => {
    const { network, frames } = counting();
    const hiss = pink(20 * 16_000, seeded(3)).map((x) => 0.0012 * x);
    expect(Math.max(...(await through(hiss, behindGate(network))))).toBe(0);
    expect(frames()).toBeLessThan(0.02 * (hiss.length / voiceFrame));
  });

  test('every clip is a voice to the network behind the gate wherever it is one to the network alone', async () => {
    const open = await loadActivity();
    for (const name of clipNames.slice(0, 6)) {
      const samples = clip(name);
      const sound = pink(samples.length + 32_000, seeded(4)).map(
        (x, i) => 0.0012 * x + (samples[i - 16_000] ?? 0),
      );
      const [alone, gated] = [await through(sound, open()), await through(sound, behindGate(open()))];
      const differing = alone.filter((voice, i) => voice >= limits.begins !== gated[i]! >= limits.begins);
      expect(differing.length, name).toBeLessThanOrEqual(3);
    }
  });

  test('a sound that comes after quiet is given to the network with what was just before it', async () => {
    const { network, frames } = counting();
    const gated = behindGate(network);
    await through(new Float32Array(40 * voiceFrame).fill(0.0001), gated);
    expect(frames()).toBe(0);
    expect(await gated.probability(new Float32Array(voiceFrame).fill(0.5))).toBe(0.9);
    expect(frames()).toBe(gateLimits.before + 1);
  });
});

describe('an attention word', () => {
  const automaton = keptAutomaton(grammar);

  test('stands before every note and is no part of it', () => {
    const plain = createReader(automaton);
    const reader = createReader(withWakeWord(automaton, wakeWords('Hey, Sprig')));
    for (const words of ['eight paces eye five and a half', 'how many trees', 'scratch that']) {
      const attended = reader.read(`hey sprig ${words}`);
      const alone = plain.read(words);
      expect(attended.ok && attended.value[0]!.notes[0]).toEqual(alone.ok && alone.value[0]!.notes[0]);
      expect(reader.read(words).ok).toBe(false);
      expect(reader.read(`hey ${words}`).ok).toBe(false);
    }
  });

  test('that says nothing changes nothing', () => {
    expect(withWakeWord(automaton, wakeWords(''))).toBe(automaton);
    expect(wakeWords(null)).toEqual([]);
  });
});
