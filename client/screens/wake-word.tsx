/** Setup of hands-free: the word before every note, for places where others talk. */
import { useState } from 'preact/hooks';
import { usePage } from './page.tsx';
import { AnswerText, useTelling } from './parts.tsx';

export function AttentionWord() {
  const { conversation } = usePage();
  const { answer, tell } = useTelling();
  const [word, setWord] = useState('');
  const now = conversation.settings.wakeWord;
  const set = (chosen: string) => void tell({ kind: 'setting', set: { what: 'attention', word: chosen } });
  const submit = (event: Event) => {
    event.preventDefault();
    const chosen = word
      .toLowerCase()
      .replace(/[^a-z' ]/g, '')
      .trim();
    if (chosen === '') return;
    set(chosen);
    setWord('');
  };
  return (
    <section>
      <h2>Hands-free</h2>
      <AnswerText text={answer} />
      <p class="fact">
        {now
          ? `Hands-free, only what begins with "${now}" is taken.`
          : 'Hands-free, every note is taken. Where others talk, choose a word that comes before each.'}
      </p>
      <form class="fields" onSubmit={submit}>
        <label>
          Attention word
          <input
            value={word}
            autocomplete="off"
            autocapitalize="none"
            maxLength={30}
            onInput={(event) => setWord(event.currentTarget.value)}
          />
        </label>
        <button type="submit">Take it</button>
        {now && (
          <button type="button" onClick={() => set('none')}>
            No word
          </button>
        )}
      </form>
    </section>
  );
}
