/** An ear: samples in, what they may mean out. One implementation asks the server, another hears in the page itself. */
import { type ClipResult, isDeaf } from '../../grammar/decoding/clip-result.ts';
import { err } from '../../shared/core/result.ts';
import { endpoints } from '../../shared/wire.ts';
import { askServer } from '../device/home.ts';

/** 16 kHz, signed 16 bits, mono. */
export type Pcm = Int16Array<ArrayBuffer>;
export const pcmRate = 16_000;

/** Whole addresses of what an ear of the page is made of. */
export interface EarFiles {
  /** The folder of the acoustic model. */
  readonly model: string;
  /** The folder of the WebAssembly that runs it. */
  readonly runtime: string;
  /** The network that tells a voice from other sounds. */
  readonly voiceActivity: string;
}

/** There is no ear now: the sound should be kept. */
export const deaf = (message: string): ClipResult => err({ kind: 'deaf', message });

export interface PageHearing {
  /** Never rejects. */
  hear(pcm: Pcm): Promise<ClipResult>;
}

/** Hears with the model that the server runs. */
export class ServerHearing implements PageHearing {
  constructor(private readonly fetcher: typeof fetch = askServer) {}

  async hear(pcm: Pcm): Promise<ClipResult> {
    try {
      const response = await this.fetcher(`${endpoints.hear.path}?rate=${pcmRate}`, {
        method: 'POST',
        headers: { 'content-type': 'audio/pcm' },
        body: pcm,
        signal: AbortSignal.timeout(20_000),
      });
      if (!response.ok) return deaf('The server cannot hear just now.');
      return endpoints.hear.reply.parse(await response.json());
    } catch {
      return deaf('The server is away, and with it its ear.');
    }
  }
}

/** Tries one ear after another until one can hear. */
export class FirstHearing implements PageHearing {
  constructor(private readonly ears: () => readonly PageHearing[]) {}

  async hear(pcm: Pcm): Promise<ClipResult> {
    let heard = deaf('There is nothing here that can hear.');
    for (const ear of this.ears()) {
      heard = await ear.hear(pcm);
      if (heard.ok || !isDeaf(heard.error)) return heard;
    }
    return heard;
  }
}
