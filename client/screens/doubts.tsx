/** Doubts: what is open and how to answer it, what concerns the whole book, and what was settled and how. */

import { sayCount } from '../../grammar/description/spell-numbers.ts';
import type { RegisteredDoubt } from '../../shared/book/book.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { measure } from '../../shared/measuring/height/index.ts';
import { momentOf } from '../../shared/note/journal.ts';
import { Answers } from './dock.tsx';
import { insteadOf, Sketch } from './figure.tsx';
import { clockTime, usePage } from './page.tsx';
import { AnswerText, Mend, useTelling } from './parts.tsx';

const settledWords: Readonly<Record<RegisteredDoubt['state'], string>> = {
  open: 'Open',
  kept: 'Kept as it was',
  mended: 'Mended',
  dropped: 'Dropped',
};

export function Doubts() {
  const { conversation } = usePage();
  const { book } = conversation;
  const open = book.doubts.filter((one) => one.state === 'open');
  const settled = book.doubts.filter((one) => one.state !== 'open');
  const whole = totalsOf(book).bookDoubts(book.settings.now.units);
  return (
    <div class="screen">
      <h1>Doubts</h1>
      <section>
        <h2>Open</h2>
        {open.length === 0 && <p class="none">None.</p>}
        <ul class="doubts">
          {[...open].reverse().map((one) => (
            <Open key={`${one.entry}${one.doubt.code}`} one={one} />
          ))}
        </ul>
      </section>
      <section>
        <h2>On the book as a whole</h2>
        {whole.length === 0 && <p class="none">None.</p>}
        <ul class="doubts">
          {whole.map((one) => (
            <li key={one.code + one.sentence}>
              <p class="reply">{one.sentence}</p>
              <p class="mendhint">{one.mend}</p>
            </li>
          ))}
        </ul>
      </section>
      <section>
        <h2>Settled</h2>
        {settled.length === 0 && <p class="none">None.</p>}
        <ul class="doubts settled">
          {[...settled].reverse().map((one) => (
            <li key={`${one.entry}${one.doubt.code}`}>
              <p class="state">{settledWords[one.state]}</p>
              <p>
                {one.doubt.sentence} <small>{timeOf(one)}</small>
              </p>
            </li>
          ))}
        </ul>
      </section>
    </div>
  );

  function timeOf(one: RegisteredDoubt): string {
    const entry = book.entry(one.entry);
    return entry ? clockTime(momentOf(entry).time, conversation.now()) : '';
  }
}

function Open({ one }: { readonly one: RegisteredDoubt }) {
  const { conversation } = usePage();
  const { book } = conversation;
  const asked = book.openQuestion(one.entry);
  const { answer, tell } = useTelling();
  const by = book.entry(one.entry);
  const tree = book.tree(one.tree)?.number ?? null;
  // As it was measured, by who measured it: with their pace and eye.
  const settings = book.settingsOf(by?.device ?? conversation.device);
  const pending = asked?.open.question.pending;
  const measured = pending?.kind === 'height' ? measure(pending.height, settings) : null;
  return (
    <li class="open">
      <p class="state">
        {asked ? 'Not counted until it is answered' : 'Counted, worth a look'}
        {tree === null ? '' : `, tree ${tree}`}
        {by && by.device !== conversation.device
          ? `, ${by.person ?? book.settingsOf(by.device).person ?? 'another device'}`
          : ''}
      </p>
      <p class="reply">{one.doubt.sentence}</p>
      {measured?.ok && (
        <Sketch
          height={measured.value}
          units={conversation.settings.units}
          instead={insteadOf(one.doubt, settings, conversation.session.tongue.speak)}
        />
      )}
      {asked ? (
        <Answers open={asked.open} told />
      ) : (
        <>
          <p class="buttons">
            <button
              type="button"
              onClick={() => void tell({ kind: 'answer', answer: 'keep' }, 'it is right', one.entry)}
            >
              It is right
            </button>
          </p>
          {tree !== null && (
            <Mend begun={`tree ${sayCount(tree) ?? tree} was `} label={`How tree ${tree} was`} />
          )}
          <AnswerText text={answer} />
        </>
      )}
    </li>
  );
}
