/** Book: every entry with its words and what stands because of it; correct it here by saying how it was. */
import { useMemo, useState } from 'preact/hooks';
import { sayCount } from '../../grammar/description/spell-numbers.ts';
import type { Heard } from '../../shared/note/journal.ts';
import { playClip } from '../conversation/playback.ts';
import { type BookRow, bookRows } from './book-rows.ts';
import { clockTime, usePage } from './page.tsx';
import { Mend, useTelling } from './parts.tsx';
import { TakeAway } from './take-away.tsx';

type WordTime = NonNullable<Heard['times']>[number];

const page = 60;

export function BookScreen() {
  const { conversation } = usePage();
  const [limit, setLimit] = useState(page);
  const rows = useMemo(
    () => bookRows(conversation.book, conversation.device, limit),
    [conversation.version, limit],
  );
  const total = conversation.book.entries.length;
  return (
    <div class="screen">
      <h1>Book</h1>
      {total === 0 ? (
        <p class="none">Nothing was said yet.</p>
      ) : (
        <p class="sum">
          {total} {total === 1 ? 'entry' : 'entries'}, newest first. Nothing is ever wiped out: what was taken
          back stays, struck through.
        </p>
      )}
      <ol class="entries">
        {rows.map((row) => (
          <Row key={row.entry.id} row={row} />
        ))}
      </ol>
      {total > limit && (
        <button type="button" onClick={() => setLimit(limit + page)}>
          Show {Math.min(page, total - limit)} earlier
        </button>
      )}
      <TakeAway />
    </div>
  );
}

function Row({ row }: { readonly row: BookRow }) {
  const { entry, tree } = row;
  const [open, setOpen] = useState(false);
  const times = row.clip === null ? [] : (entry.heard?.times ?? []);
  return (
    <li class={row.state === 'taken back' ? 'back' : ''}>
      <p class="said">
        {entry.words || '(sound)'}
        <small>
          {row.who}, {clockTime(entry.time, Date.now())}
        </small>
      </p>
      <div class="answer">
        <p class="stands">
          {row.stands}
          {row.state === 'taken back' && ' Taken back.'}
          {row.state === 'waits for an answer' ? (
            <b class="doubt"> {row.doubted ? 'In doubt; waits for an answer.' : 'Waits for an answer.'}</b>
          ) : (
            row.doubted && <b class="doubt"> In doubt.</b>
          )}
        </p>
        <p class="buttons">
          {row.clip && <PlayClip reference={row.clip} />}
          {row.state === 'stands' && (
            <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>
              Correct
            </button>
          )}
        </p>
      </div>
      {open && (
        <div class="correct">
          {row.clip && times.length > 0 && <Words reference={row.clip} times={times} />}
          <Mend
            begun={tree === null ? 'make that ' : `tree ${sayCount(tree) ?? tree} was `}
            label={tree === null ? 'How it was (the last note only)' : `How tree ${tree} was`}
          />
          {tree !== null && <ScratchTree number={tree} />}
          {row.clip && <ForgetClip reference={row.clip} />}
        </div>
      )}
    </li>
  );
}

function ScratchTree({ number }: { readonly number: number }) {
  const { tell } = useTelling();
  return (
    <button type="button" onClick={() => void tell({ kind: 'scratch', tree: number })}>
      Scratch tree {number}
    </button>
  );
}

function PlayClip({ reference }: { readonly reference: string }) {
  const { conversation } = usePage();
  const [state, setState] = useState<'ready' | 'playing' | 'gone'>('ready');
  return (
    <button
      type="button"
      disabled={state === 'gone'}
      onClick={async () => {
        setState('playing');
        setState((await playClip(conversation.parts.store, reference)) ? 'ready' : 'gone');
      }}
    >
      {state === 'playing' ? 'Playing' : state === 'gone' ? 'Not kept here' : 'Hear it'}
    </button>
  );
}

/** The sound goes, the entry stays as it is. */
function ForgetClip({ reference }: { readonly reference: string }) {
  const { conversation } = usePage();
  const [gone, setGone] = useState(false);
  return (
    <button
      type="button"
      disabled={gone}
      onClick={() => void conversation.parts.store.dropClip(reference).then(() => setGone(true))}
    >
      {gone ? 'Its sound is deleted' : 'Delete its sound'}
    </button>
  );
}

/** One word of the clip at a time: which one was misheard. */
function Words({ reference, times }: { readonly reference: string; readonly times: readonly WordTime[] }) {
  const { conversation } = usePage();
  return (
    <p class="words">
      {times.map((one) => (
        <button
          key={one.from}
          type="button"
          aria-label={`Hear "${one.word}"`}
          onClick={() => void playClip(conversation.parts.store, reference, one)}
        >
          {one.word}
        </button>
      ))}
    </p>
  );
}
