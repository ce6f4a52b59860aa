/**
 * What is known of how people sound, kept on this machine beside the book, a file a speaker that nobody else reads. It is
 * there only where that person asked for it, holds no sound and no word, and is deleted at a word.
 */
import { readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import * as z from 'zod/mini';
import { err, ok, type Result } from '../../shared/core/result.ts';
import type { VoiceProfile } from '../../shared/sound/voice-profile.ts';
import { voiceFromJson, voiceToJson } from '../../shared/sound/voice-profile-file.ts';
import { folderBeside, ownFolder, writeOwn } from '../program/own-files.ts';

/** One speaker who is known here. */
export interface KnownVoice {
  readonly speaker: string;
  /** Null: heard no better for it, so only what this person usually says is known. */
  readonly voice: VoiceProfile | null;
}

const fileSchema = z.object({
  speaker: z.string().check(z.minLength(1), z.maxLength(80)),
  voice: z.nullable(z.string()),
});

export class Voices {
  readonly #folder: string;

  constructor(book: string) {
    this.#folder = folderBeside(book, 'voices');
  }

  /** What is known of a speaker; null where nothing is, or the file is damaged. */
  of(speaker: string): KnownVoice | null {
    const read = this.#read(fileOf(speaker));
    return read?.speaker === speaker ? read : null;
  }

  /** Everybody who is known here. */
  all(): KnownVoice[] {
    let names: string[];
    try {
      names = readdirSync(this.#folder).filter((name) => name.endsWith('.json'));
    } catch {
      return [];
    }
    return names.sort().flatMap((name) => this.#read(name) ?? []);
  }

  keep({ speaker, voice }: KnownVoice): void {
    ownFolder(this.#folder);
    const text = JSON.stringify({ speaker, voice: voice === null ? null : voiceToJson(voice) });
    writeOwn(join(this.#folder, fileOf(speaker)), `${text}\n`);
  }

  /** False: nothing was known. */
  forget(speaker: string): boolean {
    const known = this.of(speaker) !== null;
    rmSync(join(this.#folder, fileOf(speaker)), { force: true });
    return known;
  }

  #read(name: string): KnownVoice | null {
    const found = parsed(this.#folder, name);
    if (!found.ok) return null;
    const { speaker, voice } = found.value;
    if (voice === null) return { speaker, voice: null };
    const read = voiceFromJson(voice);
    return read.ok ? { speaker, voice: { ...read.value, speaker } } : null;
  }
}

/** Letters of any name in the name of a file. */
const fileOf = (speaker: string): string => `${Buffer.from(speaker).toString('hex')}.json`;

function parsed(folder: string, name: string): Result<z.infer<typeof fileSchema>, null> {
  try {
    const read = fileSchema.safeParse(JSON.parse(readFileSync(join(folder, name), 'utf8')));
    return read.success ? ok(read.data) : err(null);
  } catch {
    return err(null);
  }
}
