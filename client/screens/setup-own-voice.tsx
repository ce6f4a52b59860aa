/** Learning how a person sounds and what is said: allowed, read for, looked at, taken along and forgotten here. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { lessonLimits } from '../../grammar/learning/lesson-limits.ts';
import { readings } from '../../grammar/learning/readings.ts';
import type { VoiceLearnt } from '../../grammar/learning/voice-lesson.ts';
import * as wording from '../../shared/wording/wording.ts';
import type { Personal } from '../conversation/personal.ts';
import { pickFile } from '../conversation/takeaway.ts';
import { ReadingAloud } from '../ear/reading-aloud.ts';
import { Switch } from './controls.tsx';
import { usePage } from './page.tsx';
import { AnswerText } from './parts.tsx';

export function OwnVoice() {
  const { conversation, prefs, setPrefs, openEar, personal } = usePage();
  const [mine, setMine] = useState<Personal | null>(null);
  const [notes, setNotes] = useState(0);
  const [answer, setAnswer] = useState('');
  const look = () =>
    void personal().then(async (there) => {
      setMine(there);
      setNotes((await there.notes()).length);
    });
  useEffect(look, [conversation.version, answer, personal]);

  const allow = async (learns: boolean) => {
    setPrefs({ learns });
    if (learns && !prefs.hearHere) {
      setAnswer('Fetching the ear: about 20 megabytes, once.');
      const sentence = await openEar();
      if (sentence !== null) {
        setPrefs({ learns: false });
        return setAnswer(sentence);
      }
      setPrefs({ hearHere: true });
    }
    await (await personal()).allowedOrNot();
    setAnswer(
      learns ? 'Allowed. It stays on this device.' : 'Nothing is learnt, and nothing learnt is used.',
    );
  };
  const learn = async () => {
    setAnswer('Learning. Notes are heard meanwhile.');
    const sentence = await openEar();
    const learnt = sentence ?? (await (await personal()).learn());
    setAnswer(
      learnt === null ? 'It learns already.' : typeof learnt === 'string' ? learnt : lessonSentence(learnt),
    );
  };
  const forget = async () => {
    await (await personal()).forget();
    setAnswer('Forgotten: this device hears you as it hears anybody.');
  };
  const profile = mine?.profile ?? null;
  const clips = notes + (mine?.read ?? 0);
  return (
    <section>
      <h2>How you sound</h2>
      <p class="fact">
        It learns from notes that stood: how you say the sounds, and which words you use. What it learns of
        your voice stays in this browser, about 30 kilobytes, with no sound in it, and is used only where you
        are heard better for it.
      </p>
      <Switch label="Learn how I speak" on={prefs.learns} onSet={(on) => void allow(on)} />
      {prefs.learns && (
        <>
          <p class="fact">{stateSentence(profile, notes, mine?.read ?? 0)}</p>
          <Reading onRead={async (read) => (await personal()).addRead(read)} onDone={() => void learn()} />
          <p class="buttons">
            <button type="button" disabled={clips < lessonLimits.least} onClick={() => void learn()}>
              Learn now
            </button>
            {profile !== null && (
              <button type="button" onClick={() => save(mine?.file() ?? '')}>
                Save my voice
              </button>
            )}
            <button
              type="button"
              onClick={async () => {
                const file = await pickFile();
                if (file === null) return;
                const brought = await (await personal()).bring(await file.text());
                setAnswer(brought.ok ? 'That voice is used from now on.' : brought.error);
              }}
            >
              Bring in a voice
            </button>
          </p>
        </>
      )}
      {(profile !== null || (mine?.read ?? 0) > 0) && (
        <p class="buttons">
          <button type="button" onClick={() => void forget()}>
            Forget my voice
          </button>
        </p>
      )}
      <AnswerText text={answer} />
    </section>
  );
}

const stateSentence = (profile: Personal['profile'], notes: number, read: number): string =>
  `${profile === null ? 'No voice is learnt yet.' : `Learnt from ${profile.notes} notes.`} ${wording.sentence(
    `${notes} notes that stood and ${read} read aloud are here to learn from`,
  )}.`;

/** What came of it, by the notes, each held out in its turn. */
function lessonSentence({ profile, clips, before, after, seconds }: VoiceLearnt): string {
  if (clips < lessonLimits.least)
    return `${clips} notes are too few: at least ${lessonLimits.least} are needed. Read some aloud.`;
  const kept = ({ clean, noise }: VoiceLearnt['before']) => clean.kept + noise.kept;
  const trials = 3 * clips;
  const took = `${clips} notes, ${seconds.toFixed(0)} seconds.`;
  return profile === null
    ? `You are heard no better for it, so nothing is changed. ${took}`
    : `Learnt. Of ${trials} tries with notes held out, in noise too, ${kept(after)} are kept without a question; before, ${kept(before)}. ${took}`;
}

function save(text: string): void {
  const url = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
  const link = document.createElement('a');
  link.href = url;
  link.download = 'voice.json';
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** Shows one note after the other; what is said between two silences is taken for the one that is shown. */
function Reading(props: {
  readonly onRead: (read: { words: string; pcm: Int16Array<ArrayBuffer> }) => Promise<void>;
  readonly onDone: () => void;
}) {
  const { microphone, openEar, pushToTalk } = usePage();
  const [at, setAt] = useState<number | null>(null);
  const [trouble, setTrouble] = useState('');
  const reading = useRef<ReadingAloud | null>(null);
  const stop = () => {
    reading.current?.stop();
    reading.current = null;
    setAt(null);
  };
  useEffect(() => () => reading.current?.stop(), []);
  const start = async () => {
    setTrouble((await openEar()) ?? '');
    pushToTalk.stopListening();
    let next = 0;
    const aloud = new ReadingAloud(microphone, async (pcm) => {
      const words = readings[next];
      if (words === undefined) return;
      next++;
      await props.onRead({ words, pcm });
      if (next < readings.length) return setAt(next);
      stop();
      props.onDone();
    });
    reading.current = aloud;
    try {
      await aloud.start();
      setAt(0);
    } catch (cause) {
      setTrouble(cause instanceof Error ? cause.message : String(cause));
    }
  };
  if (at === null)
    return (
      <>
        <p class="buttons">
          <button type="button" onClick={() => void start()}>
            Read {readings.length} notes aloud
          </button>
        </p>
        <AnswerText text={trouble} />
      </>
    );
  return (
    <div class="reading">
      <p class="fact">
        {at + 1} of {readings.length}. Read it as you would say it in the woods, then wait for the next one:
      </p>
      <p class="toread" aria-live="polite">
        <b>{readings[at]}</b>
      </p>
      <p class="buttons">
        <button type="button" onClick={stop}>
          Stop reading
        </button>
      </p>
    </div>
  );
}
