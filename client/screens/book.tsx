/**
 * Book: every entry with its words and what stands because of it, by day; found by words, plot, species or doubt;
 * corrected where it stands by saying how it was. The same book as a table of trees.
 */

import { useEffect, useMemo, useReducer, useState } from 'preact/hooks';
import { sayCount } from '../../grammar/description/spell-numbers.ts';
import { clockOf, dateOf } from '../../shared/core/moment.ts';
import { lastOf } from '../../shared/core/required.ts';
import { type Heard, momentOf } from '../../shared/note/journal.ts';
import { playClip } from '../conversation/playback.ts';
import { type BookFilter, type BookRow, RowSearch, speakersOf } from './book-rows.ts';
import { ChoiceControl, SpeciesChoice } from './controls.tsx';
import { usePage } from './page.tsx';
import { Mend, useTelling } from './parts.tsx';
import { TakeAway } from './take-away.tsx';
import { TreeTable } from './tree-table.tsx';

type WordTime = NonNullable<Heard['times']>[number];

const page = 60;
/** Milliseconds of looking through the book at once: a touch that comes meanwhile waits no longer. */
const sliceMs = 8;

const within = (milliseconds: number): (() => boolean) => {
  const end = performance.now() + milliseconds;
  return () => performance.now() >= end;
};

export function BookScreen() {
  const { conversation, leaf, go } = usePage();
  const { book } = conversation;
  const [find, setFind] = useState('');
  const [plot, setPlot] = useState('');
  const [species, setSpecies] = useState('');
  const [doubt, setDoubt] = useState(false);
  const [view, setView] = useState<'entries' | 'trees'>('entries');
  const tree = /^tree\/(\d+)$/.exec(leaf)?.[1];
  useEffect(() => {
    if (tree !== undefined) setView('entries');
  }, [tree]);
  const filter: BookFilter = {
    find,
    ...(plot === '' ? {} : { plot }),
    ...(species === '' ? {} : { species: Number(species) }),
    ...(tree === undefined ? {} : { tree: Number(tree) }),
    doubt,
  };
  const total = book.entries.length;
  return (
    <div class="screen book">
      <h1>Book</h1>
      {total === 0 ? (
        <p class="none">Nothing was said yet.</p>
      ) : (
        <>
          <ChoiceControl
            legend="Show"
            value={view}
            options={[
              ['entries', 'what was said'],
              ['trees', 'trees'],
            ]}
            onPick={setView}
          />
          <p class="choices">
            <label class="roomy">
              Find
              <input
                type="search"
                value={find}
                autocomplete="off"
                onInput={(event) => setFind(event.currentTarget.value)}
              />
            </label>
            <PlotChoice value={plot} onPick={setPlot} />
            <SpeciesChoice value={species} onPick={setSpecies} />
            <button type="button" aria-pressed={doubt} onClick={() => setDoubt(!doubt)}>
              In doubt
            </button>
          </p>
          {tree !== undefined && (
            <p class="buttons">
              <button type="button" onClick={() => go('book')}>
                Tree {tree} alone; show all
              </button>
            </p>
          )}
          {view === 'entries' ? <Entries filter={filter} /> : <TreeTable filter={filter} />}
        </>
      )}
      <TakeAway />
    </div>
  );
}

function PlotChoice(props: { readonly value: string; readonly onPick: (value: string) => void }) {
  const { conversation } = usePage();
  const plots = useMemo(
    () => [...conversation.book.plots()].sort((a, b) => a.number - b.number),
    [conversation.version],
  );
  if (plots.length === 0) return null;
  return (
    <label>
      Plot
      <select value={props.value} onChange={(event) => props.onPick(event.currentTarget.value)}>
        <option value="">all</option>
        {plots.map((plot) => (
          <option key={plot.id} value={plot.id}>
            plot {plot.number}
          </option>
        ))}
      </select>
    </label>
  );
}

function Entries({ filter }: { readonly filter: BookFilter }) {
  const { conversation } = usePage();
  const { book, device } = conversation;
  const [limit, setLimit] = useState(page);
  const key = JSON.stringify(filter);
  useEffect(() => setLimit(page), [key]);
  const speakers = useMemo(() => speakersOf(book), [conversation.version]);
  const search = useMemo(
    () => new RowSearch(book, device, filter, speakers),
    [conversation.version, key, device],
  );
  const [, draw] = useReducer((count: number) => count + 1, 0);
  // One more than is shown tells whether there are more.
  const wanted = limit + 1;
  search.lookOn(wanted, within(sliceMs));
  useEffect(() => {
    let isOpen = true;
    void (async () => {
      if (search.isDone(wanted)) return;
      while (isOpen && !search.isDone(wanted)) {
        await new Promise((resolve) => setTimeout(resolve));
        if (isOpen) search.lookOn(wanted, within(sliceMs));
      }
      if (isOpen) draw(null as never);
    })();
    return () => {
      isOpen = false;
    };
  }, [search, wanted]);
  const { rows } = search;
  const days = byDay(rows.slice(0, limit));
  const isWhole = !Object.values(filter).some((one) => one);
  const summary = (): string => {
    if (!search.isDone(wanted)) return 'Looking.';
    if (rows.length === 0) return 'Nothing like that.';
    const many = (count: number) => `${count.toLocaleString('en-US')} ${count === 1 ? 'entry' : 'entries'}`;
    const told = isWhole
      ? many(book.entries.length)
      : rows.length > limit
        ? `The newest ${limit} that were found`
        : `${many(rows.length)} found`;
    return `${told}, newest first; what was taken back stays, struck through. Touch one to correct it or to hear it.`;
  };
  return (
    <>
      <p class="sum" role="status">
        {summary()}
      </p>
      {days.map(({ date, rows: ofDay }) => (
        <section key={date} class="day" aria-label={dayName(date)}>
          <h2>{dayName(date)}</h2>
          <ol class="entries">
            {ofDay.map((row) => (
              <Row key={row.entry.id} row={row} />
            ))}
          </ol>
        </section>
      ))}
      {rows.length > limit && (
        <button type="button" onClick={() => setLimit(limit + page)}>
          Show earlier ones
        </button>
      )}
    </>
  );
}

interface Day {
  /** "2026-05-01" */
  readonly date: string;
  readonly rows: BookRow[];
}

function byDay(rows: readonly BookRow[]): Day[] {
  const days: Day[] = [];
  for (const row of rows) {
    const date = dateOf(momentOf(row.entry));
    if (days.at(-1)?.date !== date) days.push({ date, rows: [] });
    lastOf(days).rows.push(row);
  }
  return days;
}

const dayName = (date: string): string =>
  new Date(`${date}T12:00:00Z`).toLocaleDateString(undefined, {
    weekday: 'long',
    day: 'numeric',
    month: 'long',
    year: 'numeric',
    timeZone: 'UTC',
  });

function Row({ row }: { readonly row: BookRow }) {
  const { entry, tree } = row;
  const [open, setOpen] = useState(false);
  const times = row.clip === null ? [] : (entry.heard?.times ?? []);
  const mendable = row.state === 'stands';
  const stands = (
    <>
      {row.stands}
      {row.state === 'taken back' && ' Taken back.'}
      {row.state === 'waits for an answer' ? (
        <b class="doubt"> {row.doubted ? 'In doubt; waits for an answer.' : 'Waits for an answer.'}</b>
      ) : (
        row.doubted && <b class="doubt"> In doubt.</b>
      )}
    </>
  );
  return (
    <li class={row.state === 'taken back' ? 'back' : ''}>
      <p class="said">
        {entry.words || '(sound)'}
        <small>
          {row.who}, {clockOf(momentOf(entry))}
        </small>
      </p>
      {mendable || row.clip !== null ? (
        <button type="button" class="stands" aria-expanded={open} onClick={() => setOpen(!open)}>
          <span>{stands}</span>
          <span class="unseen">{mendable ? ' Correct.' : ' Hear.'}</span>
        </button>
      ) : (
        <p class="stands">{stands}</p>
      )}
      {open && (
        <div class="correct">
          {row.clip && (
            <p class="buttons">
              <PlayClip reference={row.clip} />
              <ForgetClip reference={row.clip} />
            </p>
          )}
          {row.clip && times.length > 0 && <Words reference={row.clip} times={times} />}
          {mendable && (
            <Mend
              begun={tree === null ? 'make that ' : `tree ${sayCount(tree) ?? tree} was `}
              label={tree === null ? 'How it was (the last note only)' : `How tree ${tree} was`}
            />
          )}
          {mendable && tree !== null && <ScratchTree number={tree} />}
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
