/** Hands-free, seen from every screen: its state, the last words, and on the way to stop it. */
import { useEffect, useReducer } from 'preact/hooks';
import type { FreeState } from '../ear/hands-free.ts';
import { type Screen, usePage } from './page.tsx';

const freeWords: Readonly<Record<FreeState, string>> = {
  off: '',
  opening: 'One moment.',
  listening: 'Listening.',
  speech: 'Hearing you.',
  held: 'Not listening while this speaks.',
  paused: 'The microphone is taken, by a call perhaps. It listens again by itself.',
};

export function HandsFreeBar({ screen }: { readonly screen: Screen }) {
  const { conversation, pushToTalk } = usePage();
  const [, draw] = useReducer((count: number) => count + 1, 0);
  useEffect(() => pushToTalk.subscribe(() => draw(null as never)), [pushToTalk]);
  const { on, state, words, aside, ear } = pushToTalk.free;
  if (!on) return null;
  const word = conversation.settings.wakeWord;
  // On Talk the answer stands above; elsewhere it is told here.
  const last = screen === 'talk' ? undefined : conversation.lines.at(-1)?.told;
  return (
    <aside class="listening" aria-label="Hands-free">
      <p>
        <span class="mark" aria-hidden="true">
          {state === 'speech' ? '●' : state === 'listening' ? '○' : '–'}
        </span>{' '}
        <span role="status">
          {state === 'held' && pushToTalk.state !== 'idle' ? 'The button is down.' : freeWords[state]}
        </span>{' '}
        {words !== '' ? (
          <q class="partial">{words}</q>
        ) : state === 'listening' && aside !== '' ? (
          <span class="aside">{aside.split('. ')[0]!.replace(/\.$/, '')}; nothing kept.</span>
        ) : state === 'listening' && word ? (
          <span class="aside">Begin with {word}.</span>
        ) : state === 'listening' && ear === 'none' ? (
          <span class="aside">There is no ear just now; what you say is kept.</span>
        ) : last ? (
          <span class="last">{last.answer.reply}</span>
        ) : null}
      </p>
      <button type="button" class="stop" onClick={() => pushToTalk.stopListening()}>
        Stop
      </button>
    </aside>
  );
}
