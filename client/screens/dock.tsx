/** The dock under the conversation: the open question with its answers, the talk button, the line to type in. */
import { useEffect, useReducer, useRef, useState } from 'preact/hooks';
import type { OpenQuestion } from '../../shared/book/book.ts';
import type { Doubt } from '../../shared/note/acts.ts';
import type { Note } from '../../shared/note/note.ts';
import { sameNote } from '../../shared/note/note-key.ts';
import { length } from '../../shared/wording/wording.ts';
import { keyName } from '../ear/keys.ts';
import type { PushToTalkState } from '../ear/push-to-talk.ts';
import { usePage } from './page.tsx';

export function Dock() {
  const { conversation, pushToTalk, prefs, setPrefs, voice } = usePage();
  const [, draw] = useReducer((count: number) => count + 1, 0);
  useEffect(() => pushToTalk.subscribe(() => draw(null as never)), [pushToTalk]);
  const [words, keepWords] = useState(draft.read);
  /** Half a note outlives a page that is closed or that the device puts away. */
  const setWords = (change: string | ((now: string) => string)) =>
    keepWords((now) => {
      const next = typeof change === 'string' ? change : change(now);
      draft.write(next);
      return next;
    });
  const input = useRef<HTMLInputElement>(null);
  const question = conversation.book.deviceState(conversation.device).questions.at(-1);
  const submit = async (event: Event) => {
    event.preventDefault();
    const said = words.trim();
    if (said === '') return;
    setWords('');
    const told = await conversation.say(said);
    // What was not kept comes back, to be mended instead of typed again.
    if (told === null || told.answer.state === 'refused') setWords((now) => (now === '' ? said : now));
  };
  return (
    <div class="dock">
      {question ? <Answers open={question} /> : <After />}
      <div class={`speak ${pushToTalk.state}`}>
        <TalkButton state={pushToTalk.state} level={pushToTalk.level} />
        <button
          type="button"
          class="free"
          aria-pressed={pushToTalk.free.on}
          onClick={() => (pushToTalk.free.on ? pushToTalk.stopListening() : void pushToTalk.listen())}
        >
          {pushToTalk.free.on ? 'Hands-free on' : 'Hands-free off'}
        </button>
        <form onSubmit={(event) => void submit(event)}>
          <label class="unseen" for="words">
            A note in words
          </label>
          <input
            id="words"
            ref={input}
            value={words}
            onInput={(event) => setWords(event.currentTarget.value)}
            placeholder="type a note"
            autocomplete="off"
            autocapitalize="none"
            enterkeyhint="send"
            spellcheck={false}
            maxLength={2000}
          />
          <button type="submit">Enter</button>
        </form>
        <button
          type="button"
          class="mute"
          aria-pressed={prefs.mute}
          onClick={() => {
            voice.hush();
            setPrefs({ mute: !prefs.mute });
          }}
        >
          {prefs.mute ? 'Voice off' : 'Voice on'}
        </button>
      </div>
    </div>
  );
}

/** The line that is being typed, in this tab alone. */
const draft = {
  read: (): string => {
    try {
      return sessionStorage.getItem('stemsay.draft') ?? '';
    } catch {
      return '';
    }
  },
  write(words: string): void {
    try {
      sessionStorage.setItem('stemsay.draft', words);
    } catch {
      // Kept nowhere; in the line until the page is closed.
    }
  },
};

const buttonWords: Readonly<Record<PushToTalkState, string>> = {
  idle: 'Hold to talk',
  opening: 'One moment',
  talking: 'Listening',
  hearing: 'Hearing it',
};

function TalkButton({ state, level }: { readonly state: PushToTalkState; readonly level: number }) {
  const { pushToTalk, prefs } = usePage();
  return (
    <button
      type="button"
      class="hold"
      onPointerDown={(event) => {
        event.preventDefault();
        event.currentTarget.focus();
        event.currentTarget.setPointerCapture(event.pointerId);
        void pushToTalk.press();
      }}
      onPointerUp={() => void pushToTalk.release()}
      onPointerCancel={() => void pushToTalk.interrupt()}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (event.key !== 'Enter' || event.repeat) return;
        event.preventDefault();
        void pushToTalk.press();
      }}
      onKeyUp={(event) => {
        if (event.key === 'Enter') void pushToTalk.release();
      }}
    >
      <span class="level" style={{ transform: `scaleX(${state === 'talking' ? level : 0})` }} />
      <span class="word">{buttonWords[state]}</span>
      <small>
        {pushToTalk.tapped ? (
          'Tap to stop'
        ) : state === 'talking' ? (
          'Let go to stop'
        ) : (
          <>
            or tap<span class="key">, or the {keyName(prefs.talkKey)}</span>
          </>
        )}
      </small>
    </button>
  );
}

/** One button for each offered answer, and the ways out of a question. */
export function Answers({ open, told = false }: { readonly open: OpenQuestion; readonly told?: boolean }) {
  const { conversation } = usePage();
  const { about, options, text } = open.question;
  const answer = (say: string, note: Note) => async () => {
    await conversation.do(note, say, open.entry);
    // The buttons are gone with the question: the focus goes to what was answered, not to nowhere.
    requestAnimationFrame(() => {
      if (document.activeElement === document.body)
        document.querySelector<HTMLElement>('.on-talk .pages, .leaf')?.focus({ preventScroll: true });
    });
  };
  const doubts = conversation.book.entry(open.entry)?.doubts ?? [];
  // Just said above, with its sketch: not a second time.
  const fresh = told || conversation.lines.at(-1)?.told?.answer.asks === text;
  const { units } = conversation.settings;
  return (
    <fieldset class={about === 'doubt' ? 'answers doubt' : 'answers'}>
      <legend class={fresh ? 'unseen' : ''}>{fresh ? 'Answers' : text}</legend>
      {options.map(({ say, note }) => {
        const feet = feetOf(doubts, note);
        return (
          <button key={say} type="button" class="option" onClick={answer(say, note)}>
            {say}
            {feet !== null && <span class="feet">{length(feet, units, 1)}</span>}
          </button>
        );
      })}
      <div class="row">
        {about === 'doubt' && (
          <>
            <button type="button" onClick={answer('keep it', { kind: 'answer', answer: 'keep' })}>
              Keep it
            </button>
            <button type="button" onClick={answer('measure again', { kind: 'answer', answer: 'redo' })}>
              Measure again
            </button>
          </>
        )}
        {(about === 'confirm' || about === 'rest') && (
          <>
            <button type="button" onClick={answer('yes', { kind: 'answer', answer: 'yes' })}>
              Yes
            </button>
            <button type="button" onClick={answer('no', { kind: 'answer', answer: 'no' })}>
              No
            </button>
          </>
        )}
        <button type="button" onClick={answer('scratch that', { kind: 'scratch' })}>
          Scratch that
        </button>
      </div>
    </fieldset>
  );
}

/** The height that an offered answer would give, where the doubt worked it out. */
function feetOf(doubts: readonly Doubt[], note: Note): number | null {
  for (const doubt of doubts) for (const slip of doubt.slips) if (sameNote(slip.note, note)) return slip.feet;
  return null;
}

/** After a note that was kept: what is most often wanted next. */
function After() {
  const { conversation } = usePage();
  const last = conversation.lines.at(-1)?.told;
  if (!last?.entry || last.answer.state !== 'kept') return null;
  return (
    <div class="answers after">
      {last.height && (
        <button type="button" onClick={() => void conversation.do({ kind: 'ask', about: 'why' }, 'why')}>
          Why
        </button>
      )}
      <button
        type="button"
        onClick={() => void conversation.do({ kind: 'answer', answer: 'repeat' }, 'say again')}
      >
        Say again
      </button>
      <button type="button" onClick={() => void conversation.do({ kind: 'scratch' }, 'scratch that')}>
        Scratch that
      </button>
    </div>
  );
}
