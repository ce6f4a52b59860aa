/**
 * Sound files in: 16-bit PCM WAV of any usual rate, or raw 16 kHz PCM, to mono 16 kHz samples from -1 to 1.
 * Everything else is refused with a sentence that says what was expected and what was found.
 */
import { longestClipSeconds as longest } from '../../grammar/decoding/recognizer.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { sampleRate } from '../../shared/sound/log-mel.ts';
import { resample } from '../../shared/sound/resample.ts';

/** A clip ready to be heard. */
export interface Sound {
  /** 16 kHz, mono, -1 to 1. */
  readonly samples: Float32Array;
  readonly seconds: number;
  /** Sentences for the user about a clip that can be heard but was badly recorded. */
  readonly warnings: readonly string[];
}

interface AudioFault {
  readonly kind: 'notWav' | 'truncated' | 'format' | 'rate' | 'channels' | 'empty' | 'tooLong' | 'silent';
  readonly message: string;
}

/** Shortest clip, seconds: less than one short word. */
const shortest = 0.1;
/** Below this peak (-60 dB of full scale) after removing a constant offset there is nothing to hear. */
const silentPeak = 0.001;
/** More than this share of samples at full scale is clipping that can be heard. */
const clippedShare = 0.005;
const lowestRate = 8000;
const highestRate = 96000;

const fault = (kind: AudioFault['kind'], message: string) => err({ kind, message });
const usualRate = (rate: number) => Number.isInteger(rate) && rate >= lowestRate && rate <= highestRate;
const wrongRate = (rate: number) =>
  fault('rate', `Expected a sampling rate from 8 to 96 kHz, found ${rate} Hz.`);
const oneDecimal = (value: number) => value.toFixed(1);

/**
 * Reads a WAV file: PCM, 16 bits, one or two channels (two are mixed down), 8 to 96 kHz.
 *
 * @example
 * readWav(writeWav(Float32Array.from({ length: 8000 }, (_, i) => Math.sin(i)))).value.samples.length // 8000
 */
export function readWav(bytes: Uint8Array): Result<Sound, AudioFault> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const text = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (bytes.length === 0) return fault('empty', 'Expected a WAV file, found an empty one.');
  if (bytes.length < 12 || text(0) !== 'RIFF' || text(8) !== 'WAVE') {
    return fault('notWav', `Expected a WAV file (RIFF, WAVE), found ${firstBytes(bytes)}.`);
  }
  let format: Format | undefined;
  for (let at = 12; at + 8 <= bytes.length; ) {
    const id = text(at);
    const declared = view.getUint32(at + 4, true);
    const start = at + 8;
    const available = bytes.length - start;
    if (id === 'fmt ') {
      if (declared < 16 || available < declared) {
        return fault('truncated', `The WAV header ends early: its format chunk has ${available} bytes.`);
      }
      const read = readFormat(view, start, declared);
      if (!read.ok) return read;
      format = read.value;
    } else if (id === 'data') {
      if (!format) return fault('format', 'The WAV file has its sound before its format chunk.');
      const length = dataLength(declared, available, format);
      return length.ok ? fromPcm(view, start, length.value, format) : length;
    }
    at = start + declared + (declared % 2);
  }
  return format
    ? fault('truncated', 'The WAV file has a header but no sound in it (no data chunk).')
    : fault('truncated', 'The WAV header ends early: there is no format chunk.');
}

interface Format {
  readonly channels: number;
  /** Hz. */
  readonly rate: number;
}

/** Bytes of sound in a data chunk. Writers that stream do not know the length and put a huge one or none: then the rest is the sound. */
function dataLength(
  declared: number,
  available: number,
  { rate, channels }: Format,
): Result<number, AudioFault> {
  const unknown = declared >= 0x7fff_f000 || (declared === 0 && available > 0);
  if (unknown) return ok(available);
  if (declared <= available) return ok(declared);
  const second = rate * channels * 2;
  return fault(
    'truncated',
    `The WAV file is cut off: it promises ${oneDecimal(declared / second)} s of sound and has ${oneDecimal(available / second)} s.`,
  );
}

/**
 * Reads raw sound: signed 16-bit little-endian samples, mono, as the page sends it. `rate` in Hz, 8 to 96 kHz.
 *
 * @example readPcm16(new Uint8Array(3)).error.kind // 'truncated'
 */
export function readPcm16(bytes: Uint8Array, rate = sampleRate): Result<Sound, AudioFault> {
  if (bytes.length % 2 === 1) {
    return fault('truncated', `Expected 16-bit samples, found an odd number of bytes (${bytes.length}).`);
  }
  if (!usualRate(rate)) return wrongRate(rate);
  return fromPcm(new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength), 0, bytes.length, {
    channels: 1,
    rate,
  });
}

/** Writes mono samples as 16-bit WAV: the form in which clips are kept with the book. */
export function writeWav(samples: Float32Array, rate = sampleRate): Uint8Array {
  const bytes = new Uint8Array(44 + 2 * samples.length);
  const view = new DataView(bytes.buffer);
  const text = (at: number, value: string) => {
    for (let i = 0; i < value.length; i++) bytes[at + i] = value.charCodeAt(i);
  };
  text(0, 'RIFF');
  view.setUint32(4, 36 + 2 * samples.length, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, 2 * rate, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  text(36, 'data');
  view.setUint32(40, 2 * samples.length, true);
  for (let i = 0; i < samples.length; i++) {
    view.setInt16(44 + 2 * i, Math.max(-32768, Math.min(32767, Math.round(samples[i]! * 32768))), true);
  }
  return bytes;
}

function firstBytes(bytes: Uint8Array): string {
  const head = String.fromCharCode(...bytes.subarray(0, 4));
  if (head === 'OggS') return 'Ogg';
  if (head === 'fLaC') return 'FLAC';
  if (head.startsWith('ID3') || (bytes[0] === 0xff && (bytes[1]! & 0xe0) === 0xe0)) return 'MP3';
  if (head === 'RIFX' || head === 'RF64') return `${head}, another kind of WAV`;
  if (head === 'RIFF') return 'a RIFF file of another kind';
  return `${bytes.length} bytes of another kind`;
}

/** Format codes of the WAVE format chunk. */
const pcm = 1;
const float = 3;
const extensible = 0xfffe;

function readFormat(view: DataView, at: number, length: number): Result<Format, AudioFault> {
  let code = view.getUint16(at, true);
  // The extensible form keeps the code in the first two bytes of its sub-format.
  if (code === extensible && length >= 26) code = view.getUint16(at + 24, true);
  const channels = view.getUint16(at + 2, true);
  const rate = view.getUint32(at + 4, true);
  const bits = view.getUint16(at + 14, true);
  if (code === float)
    return fault('format', `Expected 16-bit whole-number samples, found ${bits}-bit float.`);
  if (code !== pcm)
    return fault('format', `Expected plain PCM sound, found compressed WAV (format ${code}).`);
  if (bits !== 16) return fault('format', `Expected 16-bit samples, found ${bits}-bit.`);
  if (channels !== 1 && channels !== 2) {
    return fault('channels', `Expected one or two channels, found ${channels}.`);
  }
  if (!usualRate(rate)) return wrongRate(rate);
  return ok({ channels, rate });
}

function fromPcm(
  view: DataView,
  start: number,
  length: number,
  { channels, rate }: Format,
): Result<Sound, AudioFault> {
  const count = Math.floor(length / (2 * channels));
  if (count === 0) return fault('empty', 'The clip holds no sound: its length is zero.');
  const seconds = count / rate;
  if (seconds > longest) {
    return fault(
      'tooLong',
      `A clip may last ${longest} s; this one lasts ${oneDecimal(seconds)} s. Say one note at a time.`,
    );
  }
  if (seconds < shortest) {
    return fault('empty', `The clip is too short for a word: ${Math.round(seconds * 1000)} ms.`);
  }
  const samples = new Float32Array(count);
  let sum = 0;
  let clipped = 0;
  for (let i = 0, at = start; i < count; i++) {
    let value = 0;
    for (let channel = 0; channel < channels; channel++, at += 2) {
      const sample = view.getInt16(at, true);
      if (sample >= 32767 || sample <= -32767) clipped++;
      value += sample;
    }
    samples[i] = value / (32768 * channels);
    sum += samples[i]!;
  }
  const offset = sum / count;
  let peak = 0;
  for (const sample of samples) peak = Math.max(peak, Math.abs(sample - offset));
  if (peak < silentPeak) {
    return fault('silent', 'There is no sound in the clip. Is the microphone on?');
  }
  const warnings =
    clipped > clippedShare * count * channels
      ? ['The sound is too loud for the microphone: hold it further away or turn it down.']
      : [];
  return ok({ samples: bounded(resample(samples, rate, sampleRate)), seconds, warnings });
}

/** Resampling swings a little beyond full scale behind a sudden step. */
function bounded(samples: Float32Array): Float32Array {
  for (let i = 0; i < samples.length; i++) {
    if (samples[i]! > 1) samples[i] = 1;
    else if (samples[i]! < -1) samples[i] = -1;
  }
  return samples;
}
