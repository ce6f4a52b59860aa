import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readPcm16, readWav, writeWav } from '../../server/speech/audio.ts';
import { resample } from '../../shared/sound/resample.ts';

interface Header {
  code?: number;
  channels?: number;
  rate?: number;
  bits?: number;
  extra?: Uint8Array;
  declared?: number;
}

/** A WAV file by the RIFF layout (Microsoft/IBM Multimedia Programming Interface 1.0, 1991), built byte by byte. */
function wav(body: Uint8Array, header: Header = {}): Uint8Array {
  const {
    code = 1,
    channels = 1,
    rate = 16000,
    bits = 16,
    extra = new Uint8Array(),
    declared = body.length,
  } = header;
  const bytes = new Uint8Array(44 + extra.length + body.length);
  const view = new DataView(bytes.buffer);
  const text = (at: number, value: string) => bytes.set(new TextEncoder().encode(value), at);
  text(0, 'RIFF');
  view.setUint32(4, bytes.length - 8, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, code, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, (rate * channels * bits) / 8, true);
  view.setUint16(32, (channels * bits) / 8, true);
  view.setUint16(34, bits, true);
  bytes.set(extra, 36);
  text(36 + extra.length, 'data');
  view.setUint32(40 + extra.length, declared, true);
  bytes.set(body, 44 + extra.length);
  return bytes;
}

const tone = (hertz: number, rate: number, seconds: number, peak = 0.5) =>
  Float32Array.from(
    { length: Math.round(rate * seconds) },
    (_, i) => peak * Math.sin((2 * Math.PI * hertz * i) / rate),
  );

const pcm = (samples: ArrayLike<number>) =>
  new Uint8Array(Int16Array.from(samples, (sample) => Math.round(sample * 32767)).buffer);

const readable = (bytes: Uint8Array) => {
  const read = readWav(bytes);
  if (!read.ok) throw new Error(read.error.message);
  return read.value;
};
const refused = (bytes: Uint8Array) => {
  const read = readWav(bytes);
  if (read.ok) throw new Error('was not refused');
  return read.error;
};

/** Root mean square without the edges, where the filter runs in and out. */
function level(samples: Float32Array): number {
  const middle = samples.subarray(1000, samples.length - 1000);
  return Math.sqrt(middle.reduce((sum, sample) => sum + sample * sample, 0) / middle.length);
}

const usualRates = [8000, 11025, 12000, 16000, 22050, 24000, 32000, 44100, 48000, 88200, 96000];

describe('a WAV file', () => {
  test('of any usual rate becomes 16 kHz with its pitch and level kept', () => {
    for (const rate of usualRates) {
      const sound = readable(wav(pcm(tone(1000, rate, 1)), { rate }));
      expect(sound.samples.length).toBe(16000);
      expect(sound.seconds).toBeCloseTo(1, 6);
      const wanted = tone(1000, 16000, 1);
      const difference = sound.samples.map((sample, i) => sample - wanted[i]!);
      expect(20 * Math.log10(level(difference) / level(wanted))).toBeLessThan(-60);
    }
  });

  test('in stereo is mixed down', () => {
    const left = tone(500, 16000, 0.5);
    const both = Float32Array.from({ length: 2 * left.length }, (_, i) => (i % 2 === 0 ? left[i >> 1]! : 0));
    const sound = readable(wav(pcm(both), { channels: 2 }));
    expect(sound.samples.length).toBe(left.length);
    expect(level(sound.samples) / level(left)).toBeCloseTo(0.5, 3);
  });

  test('that this program wrote reads back sample for sample', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -32768, max: 32767 }), { minLength: 1700, maxLength: 1800 }),
        (values) => {
          fc.pre(values.some((value) => Math.abs(value) > 2000));
          const samples = Float32Array.from(values, (value) => value / 32768);
          expect(readable(writeWav(samples)).samples).toEqual(samples);
        },
      ),
      { numRuns: 20 },
    );
  });

  test('with other chunks before the sound, odd ones padded, is read', () => {
    const extra = new Uint8Array([...new TextEncoder().encode('LIST'), 3, 0, 0, 0, 1, 2, 3, 0]);
    expect(readable(wav(pcm(tone(300, 16000, 0.2)), { extra })).samples.length).toBe(3200);
  });

  test('of a writer that did not know the length is read to its end', () => {
    const body = pcm(tone(300, 16000, 0.2));
    for (const declared of [0xffff_ffff, 0x7fff_f000, 0]) {
      expect(readable(wav(body, { declared })).samples.length).toBe(3200);
    }
  });

  test('at full scale most of the time is read with a warning', () => {
    const loud = tone(300, 16000, 0.5, 3).map((sample) => Math.max(-1, Math.min(1, sample)));
    expect(readable(wav(pcm(loud))).warnings.join()).toContain('too loud');
    expect(readable(wav(pcm(tone(300, 16000, 0.5)))).warnings).toEqual([]);
  });
});

describe('a sound file is refused with the reason', () => {
  const body = pcm(tone(300, 16000, 0.5));
  const cases: readonly [what: string, bytes: Uint8Array, kind: string, says: RegExp][] = [
    ['an empty file', new Uint8Array(), 'empty', /empty/],
    ['a text', new TextEncoder().encode('eight paces, eye five and a half'), 'notWav', /Expected a WAV file/],
    ['an Ogg file', new TextEncoder().encode('OggS0000000000000'), 'notWav', /found Ogg/],
    ['a header cut off', wav(body).slice(0, 30), 'truncated', /header ends early/],
    ['a header without sound', wav(new Uint8Array()).slice(0, 36), 'truncated', /no sound in it/],
    ['sound cut off', wav(body).slice(0, 4000), 'truncated', /promises 0\.5 s of sound and has 0\.1 s/],
    ['float samples', wav(body, { code: 3, bits: 32 }), 'format', /32-bit float/],
    ['8-bit samples', wav(body, { bits: 8 }), 'format', /found 8-bit/],
    ['24-bit samples', wav(body, { bits: 24 }), 'format', /found 24-bit/],
    ['compressed sound', wav(body, { code: 85 }), 'format', /compressed WAV \(format 85\)/],
    ['six channels', wav(body, { channels: 6 }), 'channels', /found 6/],
    ['a rate too low', wav(body, { rate: 4000 }), 'rate', /found 4000 Hz/],
    ['a rate too high', wav(body, { rate: 192_000 }), 'rate', /found 192000 Hz/],
    ['no samples', wav(new Uint8Array()), 'empty', /length is zero/],
    ['a click', wav(pcm(tone(300, 16000, 0.05))), 'empty', /50 ms/],
    ['a long recording', wav(new Uint8Array(2 * 8000 * 31), { rate: 8000 }), 'tooLong', /lasts 31\.0 s/],
    ['silence', wav(new Uint8Array(32000)), 'silent', /no sound in the clip/],
    ['a constant offset', wav(pcm(new Float32Array(16000).fill(0.3))), 'silent', /no sound in the clip/],
  ];
  for (const [what, bytes, kind, says] of cases) {
    test(what, () => {
      const error = refused(bytes);
      expect(error.kind).toBe(kind);
      expect(error.message).toMatch(says);
    });
  }

  test('whatever bytes it holds, and never by a crash', () => {
    const sound = wav(body);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat({ max: 60 }), fc.nat({ max: 255 })), { maxLength: 8 }),
        (changes) => {
          const damaged = sound.slice();
          for (const [at, value] of changes) damaged[at] = value;
          const read = readWav(damaged);
          if (read.ok) expect(read.value.samples.every(Number.isFinite)).toBe(true);
          else expect(read.error.message.length).toBeGreaterThan(20);
        },
      ),
      { numRuns: 100 },
    );
  });
});

describe('bare samples', () => {
  test('at 16 kHz are taken as they are, at another rate resampled', () => {
    const read = readPcm16(pcm(tone(300, 16000, 0.2)));
    expect(read.ok && read.value.samples.length).toBe(3200);
    const resampled = readPcm16(pcm(tone(300, 48000, 0.2)), 48000);
    expect(resampled.ok && resampled.value.samples.length).toBe(3200);
  });

  test('of an odd number of bytes or a strange rate are refused', () => {
    expect(readPcm16(new Uint8Array(4001)).ok).toBe(false);
    expect(readPcm16(new Uint8Array(4000), 1000).ok).toBe(false);
    expect(readPcm16(new Uint8Array(4000), Number.NaN).ok).toBe(false);
  });
});

describe('resampling to 16 kHz', () => {
  test('leaves nothing of a tone above 8 kHz: 60 dB down at least', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(22050, 24000, 32000, 44100, 48000, 96000),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (rate, share) => {
          const hertz = 8000 + share * (rate / 2 - 8000);
          const source = tone(hertz, rate, 0.4);
          expect(20 * Math.log10((level(resample(source, rate, 16000)) + 1e-12) / 0.35)).toBeLessThan(-60);
        },
      ),
      { numRuns: 40 },
    );
  });

  test('keeps a tone below 7/8 of the lower half-rate within 0.1 dB and adds nothing to it', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...usualRates, 44101),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (rate, share) => {
          const hertz = share * (7 / 16) * Math.min(rate, 16000);
          const result = resample(tone(hertz, rate, 0.5), rate, 16000);
          const wanted = tone(hertz, 16000, 0.5);
          expect(Math.abs(20 * Math.log10(level(result) / level(wanted)))).toBeLessThan(0.1);
          const difference = result.map((sample, i) => sample - (wanted[i] ?? 0));
          expect(20 * Math.log10((level(difference) + 1e-12) / level(wanted))).toBeLessThan(-60);
        },
      ),
      { numRuns: 40 },
    );
  });
});
