/** An ear that only cuts, for when there is no other. */
import type { Listener } from '../../grammar/decoding/listener.ts';
import type { EarParts, ListeningClient } from './listening-client.ts';

/** Cuts clips by loudness and hears none of them. What comes before its file is here waits for it, in its order. */
export function openBareEar({ tell }: Pick<EarParts, 'tell'>): ListeningClient {
  const listener = import('./bare-listener.ts').then(({ createBareListener }) => createBareListener(tell));
  // Where its file cannot be had, the sound stays in the ring of hands-free for the next ear.
  const toListener = (give: (listener: Listener) => unknown) =>
    void listener.then(give).catch(() => undefined);
  return {
    kind: 'none',
    push: (samples) => toListener((there) => there.push(samples)),
    attend: (gate) => toListener((there) => there.attend(gate)),
    close() {},
  };
}
