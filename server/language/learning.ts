/**
 * A word that a book teaches changes the whole automaton, which takes seconds to make. A thread makes it, with what the
 * reader of nearly right words needs, so that whoever else says something meanwhile is answered.
 */
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import type { PhoneGraph } from '../../grammar/pronunciation/phone-graph.ts';
import type { Taught } from '../../shared/book/taught.ts';
import { startThread } from '../program/processes.ts';

/** What the thread sends: no more than can be handed over without a copy, and words. */
export interface Learnt {
  readonly automaton: Automaton;
  readonly graph: Omit<PhoneGraph, 'automaton' | 'lexicon'>;
}

/** The automaton and the graph of what a book taught. Rejects when the thread fails; nothing is changed then. */
export function learnElsewhere(
  taught: Taught,
  stop?: AbortSignal,
): Promise<{ readonly automaton: Automaton; readonly graph: PhoneGraph }> {
  const thread = startThread('learning', taught);
  stop?.addEventListener('abort', () => void thread.terminate(), { once: true });
  return new Promise((resolve, reject) => {
    thread.once('message', ({ automaton, graph }: Learnt) =>
      resolve({ automaton, graph: { ...graph, automaton, lexicon: createLexicon() } }),
    );
    thread.once('error', reject);
    thread.once('exit', (code) => reject(new Error(`the thread that learns ended with ${code}`)));
  });
}
