/** Talk: the conversation, what can be answered to the open question, and the two ways to say something. */
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Told } from '../../shared/dialogue/types.ts';
import type { Conversation, Line } from '../conversation/conversation.ts';
import { standingOf } from './book-rows.ts';
import { Dock } from './dock.tsx';
import { insteadOf, Sketch } from './figure.tsx';
import { FirstSteps } from './first-steps.tsx';
import { clockTime, usePage } from './page.tsx';
import { Figure } from './parts.tsx';

export function Talk() {
  const { conversation } = usePage();
  const pages = useRef<HTMLElement>(null);
  const last = conversation.lines.at(-1);
  const newest = useRef(last);
  newest.current = last;
  useLayoutEffect(() => {
    if (pages.current) showNext(pages.current, last);
  }, [conversation.lines.length, last?.told, last?.trouble]);
  // Turned or resized, the newest answer stays in sight.
  useEffect(() => {
    const at = pages.current;
    if (!at) return;
    const observer = new ResizeObserver(() => showNext(at, newest.current));
    observer.observe(at);
    return () => observer.disconnect();
  }, []);
  return (
    <section class="talk" aria-label="Talk">
      <h1 class="unseen">Talk</h1>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key. */}
      <section class="pages" ref={pages} tabIndex={0} aria-label="Conversation">
        {conversation.lines.length === 0 && (
          <p class="beginning">Hold the button and say what you see, or type it. It is kept here first.</p>
        )}
        <ol class="lines" aria-live="polite" aria-relevant="additions text">
          {grouped(conversation.lines).map((group) =>
            group.length > 1 ? (
              <Folded key={group[0]!.key} lines={group} />
            ) : (
              <Exchange key={group[0]!.key} line={group[0]!} />
            ),
          )}
        </ol>
        <FirstSteps />
      </section>
      <Dock />
    </section>
  );
}

/** What others said between two notes of this device is one group. */
function grouped(lines: readonly Line[]): Line[][] {
  const groups: Line[][] = [];
  for (const line of lines) {
    const last = groups.at(-1);
    if (line.how === 'elsewhere' && last?.[0]?.how === 'elsewhere') last.push(line);
    else groups.push([line]);
  }
  return groups;
}

/** Notes of other devices, folded up: who said how many, and what stands because of them. */
function Folded({ lines }: { readonly lines: readonly Line[] }) {
  const { conversation } = usePage();
  const [open, setOpen] = useState(false);
  const counts = new Map<string, number>();
  for (const { who = 'another device' } of lines) counts.set(who, (counts.get(who) ?? 0) + 1);
  const { book, device } = conversation;
  return (
    <li class="exchange others">
      <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>
          {[...counts]
            .map(([who, count]) => `${count} ${count === 1 ? 'note' : 'notes'} from ${who}`)
            .join(', ')}
        </summary>
        {open &&
          lines.map(({ key, words, who }) => {
            const entry = book.entry(key);
            const stands = entry && !book.isRetracted(key) ? standingOf(book, entry, device) : '';
            return stands === '' ? null : (
              <p key={key}>
                <q>{words}</q>, {who}: {stands}
              </p>
            );
          })}
      </details>
    </li>
  );
}

/**
 * To the step that a newcomer is at, once what was asked before it is settled: the step repeats what came of that, and
 * its fields are what is wanted next. Else to the newest answer.
 */
function showNext(pages: HTMLElement, last: Line | undefined): void {
  showNewest(pages);
  const step = last?.told?.answer.note?.kind === 'setting' && pages.querySelector('.steps .now');
  if (!step) return;
  const { top } = pages.getBoundingClientRect();
  const fields = [...step.querySelectorAll('form')].at(-1) ?? step;
  const below = Math.min(
    fields.getBoundingClientRect().bottom - top - pages.clientHeight,
    step.getBoundingClientRect().top - top,
  );
  if (below > 0) pages.scrollTop += below;
}

/** To the end; where the newest answer is longer than there is room for, to its beginning, where its figure is. */
function showNewest(pages: HTMLElement): void {
  const newest = pages.querySelector('.lines > li:last-child') ?? pages.firstElementChild;
  const end = pages.scrollHeight - pages.clientHeight;
  const top = newest
    ? pages.scrollTop + newest.getBoundingClientRect().top - pages.getBoundingClientRect().top
    : end;
  pages.scrollTop = Math.min(end, top);
}

const howWords: Readonly<Record<Exclude<Line['how'], 'elsewhere'>, string>> = {
  typed: 'typed',
  spoken: 'said',
  picked: 'picked',
};

/** In the place of words that are not known, or not yet. */
function soundOf({ how, told, trouble }: Line): string {
  if (how !== 'spoken') return '';
  return told || trouble ? '(sound)' : '...';
}

/** What stands in the book of a line that another device said. */
function standsOf({ told, how, key }: Line, { book, device }: Conversation): string {
  const from = told === null && how === 'elsewhere' ? book.entry(key) : undefined;
  return from && !book.isRetracted(from.id) ? standingOf(book, from, device) : '';
}

function Exchange({ line }: { readonly line: Line }) {
  const { conversation } = usePage();
  const { told, trouble } = line;
  const entry = told?.entry?.id;
  // A question keeps its mark only while it is open: answered, it is history.
  const answered =
    told?.answer.state === 'asking' &&
    !conversation.book
      .deviceState(conversation.device)
      .questions.some((question) => question.entry === entry);
  const { units } = conversation.settings;
  const stands = standsOf(line, conversation);
  // The same drawing again for an unchanged line: a long morning must not slow the next answer.
  return useMemo(
    () => (
      <li
        class={`exchange ${answered ? 'settled' : (told?.answer.state ?? (trouble ? 'trouble' : 'waiting'))}`}
      >
        <p class="said">
          {line.words || soundOf(line)}
          <small>
            {line.how === 'elsewhere' ? line.who : howWords[line.how]}{' '}
            {clockTime(line.time, conversation.now())}
          </small>
        </p>
        {told ? (
          <Answered told={told} settled={answered} units={units} />
        ) : trouble ? (
          <p class="trouble">{trouble}</p>
        ) : line.how === 'elsewhere' ? (
          <p class="answer stands">{stands}</p>
        ) : (
          <p class="wait">{line.how === 'spoken' ? 'hearing it' : 'reading it'}</p>
        )}
      </li>
    ),
    [line, told, trouble, answered, units, stands],
  );
}

/** The words that tell a state, so that no colour has to. */
const stateWords = { kept: '', asking: 'A question', refused: 'Not kept' } as const;

interface AnsweredProps {
  readonly told: Told;
  readonly settled: boolean;
  readonly units: 'feet' | 'metres';
}

function Answered({ told, settled, units }: AnsweredProps) {
  const { conversation } = usePage();
  const { reply, state } = told.answer;
  const doubted = state === 'asking' && told.doubts.length > 0;
  const [open, setOpen] = useState(false);
  return (
    <div class="answer">
      {stateWords[state] && (
        <p class="state">
          {doubted ? 'A doubt' : stateWords[state]}
          {settled && ', answered'}
        </p>
      )}
      <Figure reply={reply} />
      {told.height && (
        <Sketch
          height={told.height}
          units={units}
          instead={
            doubted && !settled
              ? insteadOf(told.doubts[0], conversation.settings, conversation.session.tongue.speak)
              : undefined
          }
        />
      )}
      {told.detail && told.detail !== reply && (
        <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
          <summary>How this came about</summary>
          <p>{told.detail}</p>
        </details>
      )}
    </div>
  );
}
