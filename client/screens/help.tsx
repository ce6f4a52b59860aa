/**
 * Help: everything that can be said, from the language itself, by chapter; searched as one types, each example tried
 * with a touch in a book that is forgotten at once, and printed as a field guide of two pages.
 */
import { useMemo, useState } from 'preact/hooks';
import { grammar } from '../../grammar/description/grammar.ts';
import { withHelp } from '../../grammar/description/rule-help.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { type HelpEntry, type HelpFamily, helpOf } from '../../grammar/writing/help.ts';
import { tryOut } from '../conversation/try-out.ts';
import { usePage } from './page.tsx';
import { Figure } from './parts.tsx';
import { safetyCautions } from './safety.tsx';

/** The documents beside the page: put in by the build. */
declare const DOCUMENTS: readonly { readonly file: string; readonly title: string }[];

/** Examples of one entry that are shown at once. */
const shown = 3;

export function HelpScreen() {
  const { prefs } = usePage();
  const chapters = useMemo(() => helpOf(parseDescription(withHelp(grammar))).families, []);
  const [find, setFind] = useState('');
  const found = useMemo(() => search(chapters, find), [chapters, find]);
  const count = found.reduce((sum, { entries }) => sum + entries.length, 0);
  return (
    <div class="screen help">
      <h1>
        <span class="onpaper">Field guide: what can be said</span>
        <span class="onscreen">Help</span>
      </h1>
      <p class="fact onscreen">
        Say it after the button, or type it. Touch an example to try it: nothing of that is kept.
      </p>
      <form class="fields onscreen" onSubmit={(event) => event.preventDefault()}>
        <label>
          What do you want to say?
          <input
            type="search"
            value={find}
            placeholder="shadow, plot, undo"
            autocomplete="off"
            onInput={(event) => setFind(event.currentTarget.value)}
          />
        </label>
        <button
          type="button"
          onClick={() => {
            setFind('');
            requestAnimationFrame(() => requestAnimationFrame(() => print()));
          }}
        >
          Print the guide
        </button>
      </form>
      <p class="sum onscreen" role="status">
        {find.trim() === '' ? `${count} things can be said.` : `${count} found.`}
      </p>
      {find.trim() === '' && (
        <nav class="chapters onscreen" aria-label="Chapters">
          {found.map(({ family }) => (
            <button
              key={family}
              type="button"
              onClick={() => document.getElementById(idOf(family))?.scrollIntoView({ block: 'start' })}
            >
              {family}
            </button>
          ))}
        </nav>
      )}
      <div class="guide">
        {found.map((chapter) => (
          <section key={chapter.family} id={idOf(chapter.family)}>
            <h2>{chapter.family}</h2>
            {chapter.entries.map((entry) => (
              <Entry key={entry.rule} entry={entry} answering={chapter.family === 'Answers'} />
            ))}
          </section>
        ))}
        <section class="onpaper">
          <h2>Before you go in</h2>
          {safetyCautions.map((caution) => (
            <p key={caution}>{caution}</p>
          ))}
        </section>
      </div>
      {!prefs.mute && <p class="caution onscreen">Tried examples are shown, not spoken.</p>}
      <section class="documents onscreen">
        <h2>To read</h2>
        {DOCUMENTS.map(({ file, title }) => (
          <a key={file} class="button" href={file}>
            {title}
          </a>
        ))}
      </section>
    </div>
  );
}

const idOf = (family: string): string => `chapter-${family.toLowerCase().replaceAll(/[^a-z]+/g, '-')}`;

function Entry({ entry, answering }: { readonly entry: HelpEntry; readonly answering: boolean }) {
  const { examples, help, forms } = entry;
  const [all, setAll] = useState(false);
  return (
    <article class="entry">
      <p class="what">{help}</p>
      {(all ? examples : examples.slice(0, shown)).map((words) => (
        <Example key={words} words={words} answering={answering} />
      ))}
      {examples.length > shown && !all && (
        <button type="button" class="more onscreen" onClick={() => setAll(true)}>
          {examples.length - shown} more examples
        </button>
      )}
      {forms.length > 0 && (
        <details class="onscreen">
          <summary>
            Other ways to say it<span class="unseen">: {examples[0] ?? help}</span>
          </summary>
          {forms.map((form) => (
            <p key={form} class="form">
              {form}
            </p>
          ))}
        </details>
      )}
    </article>
  );
}

/** An example as a button; its answer beneath it. */
function Example({ words, answering }: { readonly words: string; readonly answering: boolean }) {
  const { conversation } = usePage();
  const [reply, setReply] = useState<string | null>(null);
  const attempt = async () => {
    setReply('');
    const told = await tryOut(conversation.parts.language, words, answering).catch(() => null);
    setReply(told?.answer.reply ?? 'This could not be tried just now.');
  };
  return (
    <div class="example">
      <button type="button" aria-label={`Try: ${words}`} onClick={() => void attempt()}>
        <q>{words}</q>
      </button>
      <div role="status">{reply !== null && reply !== '' && <Figure reply={reply} />}</div>
    </div>
  );
}

/** Chapters with the entries in which every word of the search begins a word. */
function search(chapters: readonly HelpFamily[], find: string): HelpFamily[] {
  const wanted = find.toLowerCase().match(/[a-z0-9]+/g) ?? [];
  if (wanted.length === 0) return [...chapters];
  return chapters.flatMap(({ family, entries }) => {
    const fit = entries.filter(({ help, examples, forms }) => {
      const text = ` ${[family, help, ...examples, ...forms]
        .join(' ')
        .toLowerCase()
        .replaceAll(/[^a-z0-9]+/g, ' ')}`;
      return wanted.every((word) => text.includes(` ${word}`));
    });
    return fit.length > 0 ? [{ family, entries: fit }] : [];
  });
}
