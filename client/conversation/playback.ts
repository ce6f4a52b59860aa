/** Plays what was said with an entry: from this browser, else from the server. */
import { endpoints } from '../../shared/wire.ts';
import { askServer } from '../device/home.ts';
import type { PageStore } from '../journal/indexeddb.ts';
import { pcmRate } from './ear.ts';

/** Seconds around one word: a word cut at its edge is not understood. */
const around = 0.08;

/**
 * Resolves when it was played to its end, with false when the clip is nowhere. `part` plays only so many seconds of it.
 */
export async function playClip(
  store: PageStore,
  reference: string,
  part?: { readonly from: number; readonly to: number },
): Promise<boolean> {
  const context = new AudioContext();
  try {
    const buffer = await bufferOf(context, store, reference);
    if (buffer === null) return false;
    const source = new AudioBufferSourceNode(context, { buffer });
    source.connect(context.destination);
    await new Promise<void>((resolve) => {
      source.onended = () => resolve();
      if (part === undefined) source.start();
      else {
        const from = Math.max(0, part.from - around);
        source.start(0, from, part.to + around - from);
      }
    });
    return true;
  } finally {
    void context.close();
  }
}

async function bufferOf(
  context: AudioContext,
  store: PageStore,
  reference: string,
): Promise<AudioBuffer | null> {
  const pcm = await store.clip(reference);
  if (pcm !== null) {
    const buffer = new AudioBuffer({ length: pcm.length, sampleRate: pcmRate });
    buffer.copyToChannel(
      Float32Array.from(pcm, (sample) => sample / 32_768),
      0,
    );
    return buffer;
  }
  try {
    const response = await askServer(`${endpoints.clip.path}?ref=${reference}`);
    return response.ok ? await context.decodeAudioData(await response.arrayBuffer()) : null;
  } catch {
    return null;
  }
}
