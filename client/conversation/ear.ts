/** An ear: samples in, what they may mean out. One implementation asks the server, another hears in the page itself. */
import { type Heard, heardSchema } from '../../shared/note/journal.ts';
import type { Candidate } from '../../shared/note/note.ts';
import { endpoints } from '../../shared/wire.ts';

/** 16 kHz, signed 16 bits, mono. */
export type Pcm = Int16Array<ArrayBuffer>;
export const pcmRate = 16_000;

export type HeardSound =
  | { readonly kind: 'heard'; readonly candidates: readonly Candidate[]; readonly facts: Heard | null }
  /** There was something wrong with the sound: the sentence to say. */
  | { readonly kind: 'nothing'; readonly sentence: string }
  /** There is no ear now: the sound should be kept. */
  | { readonly kind: 'deaf'; readonly sentence: string };

export interface PageHearing {
  /** Never rejects. */
  hear(pcm: Pcm): Promise<HeardSound>;
}

/** Hears with the model that the server runs. */
export class ServerHearing implements PageHearing {
  constructor(private readonly fetcher: typeof fetch = (...args) => fetch(...args)) {}

  async hear(pcm: Pcm): Promise<HeardSound> {
    try {
      const response = await this.fetcher(`${endpoints.hear.path}?rate=${pcmRate}`, {
        method: 'POST',
        headers: { 'content-type': 'audio/pcm' },
        body: pcm,
        signal: AbortSignal.timeout(20_000),
      });
      if (!response.ok) return { kind: 'deaf', sentence: 'The server cannot hear just now.' };
      const { candidates, heard, refusal } = endpoints.hear.reply.parse(await response.json());
      if (candidates.length > 0)
        return { kind: 'heard', candidates, facts: heard && heardSchema.parse(heard) };
      return { kind: 'nothing', sentence: refusal ?? 'No note was heard. Say it again.' };
    } catch {
      return { kind: 'deaf', sentence: 'The server is away, and with it its ear.' };
    }
  }
}

/** Tries one ear after another until one can hear. */
export class FirstHearing implements PageHearing {
  constructor(private readonly ears: () => readonly PageHearing[]) {}

  async hear(pcm: Pcm): Promise<HeardSound> {
    let heard: HeardSound = { kind: 'deaf', sentence: 'There is nothing here that can hear.' };
    for (const ear of this.ears()) {
      heard = await ear.hear(pcm);
      if (heard.kind !== 'deaf') return heard;
    }
    return heard;
  }
}
