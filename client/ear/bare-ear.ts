/** An ear that only cuts, for when there is no other. */
import type { Listener } from '../../grammar/decoding/listener.ts';
import type { EarParts, ListeningClient } from './listening-client.ts';

let part: Promise<typeof import('./bare-listener.ts')> | undefined;

/** Fetches its file while there is a way, for when the way is gone; one that failed is tried again by the next. */
export function fetchBareEar(): Promise<typeof import('./bare-listener.ts')> {
  part ??= import('./bare-listener.ts').catch((cause: unknown) => {
    part = undefined;
    throw cause;
  });
  return part;
}

/** Cuts clips by loudness and hears none of them. What comes before its file is here waits for it, in its order. */
export function openBareEar({ tell }: Pick<EarParts, 'tell'>): ListeningClient {
  const listener = fetchBareEar().then(({ createBareListener }) => createBareListener(tell));
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
