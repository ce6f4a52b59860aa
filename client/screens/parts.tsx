/** Small pieces that several screens are put together from. */
import { useState } from 'preact/hooks';
import type { Told } from '../../shared/dialogue/types.ts';
import type { Note } from '../../shared/note/note.ts';
import { usePage } from './page.tsx';

/** A sentence with its leading figure drawn large. */
export function Figure({ reply }: { readonly reply: string }) {
  const { number, rest } = headline(reply);
  return (
    <p class="reply">
      {number && <strong>{number} </strong>}
      {rest}
    </p>
  );
}

/** The leading figure of a reply, and the rest. "No pace yet." has none. */
export function headline(reply: string): { readonly number: string; readonly rest: string } {
  const found = /^(\d[\d,]*(?:\.\d+)?)\s+(.*)$/s.exec(reply);
  return found ? { number: found[1]!, rest: found[2]! } : { number: '', rest: reply };
}

/** Tells notes from a screen other than Talk, and shows there what was answered. */
export function useTelling(): {
  readonly answer: string;
  say(words: string): Promise<Told | null>;
  tell(note: Note, words?: string, answers?: string): Promise<Told | null>;
} {
  const { conversation } = usePage();
  const [answer, setAnswer] = useState('');
  const shown = async (telling: Promise<Told | null>): Promise<Told | null> => {
    const told = await telling;
    setAnswer(told?.answer.reply ?? 'This could not be kept. See Talk.');
    return told;
  };
  return {
    answer,
    say: (words) => shown(conversation.say(words)),
    tell: (note, words, answers) =>
      shown(conversation.do(note, words, answers === undefined ? {} : { answers })),
  };
}

/** What was answered last, told to who listens as well. */
export function AnswerText({ text }: { readonly text: string }) {
  return (
    <p class="answered" role="status">
      {text}
    </p>
  );
}

/** A sentence to be said about something, in place: begun, to be finished. */
export function Mend({ begun, label }: { readonly begun: string; readonly label: string }) {
  const [words, setWords] = useState(begun);
  const { answer, say } = useTelling();
  return (
    <form
      class="mend"
      onSubmit={(event) => {
        event.preventDefault();
        void say(words);
      }}
    >
      <label>
        {label}
        <input
          value={words}
          autocomplete="off"
          autocapitalize="none"
          onInput={(event) => setWords(event.currentTarget.value)}
        />
      </label>
      <button type="submit">Enter</button>
      <AnswerText text={answer} />
    </form>
  );
}
