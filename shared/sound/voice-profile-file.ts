/** The profile of a voice as the text of a file: to take it to another device, or to keep it. */
import * as z from 'zod/mini';
import { err, ok, type Result } from '../core/result.ts';
import { layerOutputs } from './output-layer.ts';
import type { VoiceProfile } from './voice-profile.ts';

const profileFormat = 1;
/** The last layer of a model has 384 numbers a frame; a file with more than this is none. */
const mostSteps = 2048 * layerOutputs;

const fileSchema = z.object({
  voiceProfile: z.literal(profileFormat),
  speaker: z.string().check(z.minLength(1), z.maxLength(80)),
  time: z.int().check(z.minimum(0)),
  notes: z.int().check(z.minimum(0), z.maximum(1e6)),
  base: z.string().check(z.regex(/^[0-9a-f]{8}$/)),
  step: z.number().check(z.positive(), z.maximum(1)),
  steps: z.string().check(z.regex(/^[A-Za-z0-9+/]*={0,2}$/)),
});

/** A profile as the text of a file. */
export function voiceToJson({ steps, ...facts }: VoiceProfile): string {
  let bytes = '';
  for (const byte of new Uint8Array(steps.buffer, steps.byteOffset, steps.byteLength))
    bytes += String.fromCharCode(byte);
  return `${JSON.stringify({ voiceProfile: profileFormat, ...facts, steps: btoa(bytes) })}\n`;
}

/** The profile of a file, or the sentence why it is none. */
export function voiceFromJson(text: string): Result<VoiceProfile, string> {
  const bad = err(
    'That file is no profile of a voice. Expected one that was saved here or on another device.',
  );
  let found: unknown;
  try {
    found = JSON.parse(text);
  } catch {
    return bad;
  }
  const read = fileSchema.safeParse(found);
  if (!read.success) return bad;
  const { voiceProfile: _, steps, ...facts } = read.data;
  let bytes: string;
  try {
    bytes = atob(steps);
  } catch {
    return bad;
  }
  if (bytes.length % 2 !== 0 || bytes.length > 2 * mostSteps) return bad;
  const raw = Uint8Array.from(bytes, (letter) => letter.charCodeAt(0));
  return ok({ ...facts, steps: new Int16Array(raw.buffer) });
}
