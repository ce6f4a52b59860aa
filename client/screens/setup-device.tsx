/** What belongs to this device: look, voice, an ear of its own, the key to hold, the room it gives. */
import { useEffect, useLayoutEffect, useState } from 'preact/hooks';
import { hasServer } from '../device/home.ts';
import { themes } from '../device/preferences.ts';
import { keyName } from '../ear/keys.ts';
import { ChoiceControl, Switch } from './controls.tsx';
import { usePage } from './page.tsx';
import { AnswerText } from './parts.tsx';

export function Look() {
  const { prefs, setPrefs } = usePage();
  return (
    <section>
      <h2>Look of this device</h2>
      <ChoiceControl
        legend="Theme"
        value={prefs.theme}
        options={themes.map((theme) => [theme, theme] as const)}
        onPick={(theme) => setPrefs({ theme })}
      />
      <ChoiceControl
        legend="Thumb"
        value={prefs.hand}
        options={[
          ['right', 'right'],
          ['left', 'left'],
        ]}
        onPick={(hand) => setPrefs({ hand })}
      />
      <Switch label="Keep the screen lit" on={prefs.awake} onSet={(awake) => setPrefs({ awake })} />
      <Switch
        label="Keep the position with each note"
        on={prefs.place}
        onSet={(place) => setPrefs({ place })}
      />
    </section>
  );
}

export function VoiceSetup() {
  const { prefs, setPrefs, voice } = usePage();
  return (
    <section>
      <h2>Voice and sounds</h2>
      <Switch label="Speak the replies" on={!prefs.mute} onSet={(on) => setPrefs({ mute: !on })} />
      <ChoiceControl
        legend="Say"
        value={prefs.said}
        options={[
          ['all', 'the whole reply'],
          ['first', 'its first sentence'],
        ]}
        onPick={(said) => setPrefs({ said })}
      />
      <ChoiceControl
        legend="Speed"
        value={String(prefs.rate)}
        options={[
          ['0.8', 'slow'],
          ['1', 'usual'],
          ['1.3', 'fast'],
          ['1.6', 'faster'],
        ]}
        onPick={(rate) => {
          setPrefs({ rate: Number(rate) });
          void voice.say('Sixty feet, give or take three.', Number(rate));
        }}
      />
      <VolumeTest />
      <Switch label="Short sounds" on={prefs.sounds} onSet={(sounds) => setPrefs({ sounds })} />
      <Switch label="Buzz" on={prefs.buzz} onSet={(buzz) => setPrefs({ buzz })} />
    </section>
  );
}

/** Says a figure and asks whether it was heard: the volume of the device is turned while it speaks. */
function VolumeTest() {
  const { prefs, voice } = usePage();
  const [state, setState] = useState<'ready' | 'speaking' | 'asked' | 'heard' | 'silent'>('ready');
  const test = async () => {
    setState('speaking');
    await voice.say(
      'Sixty feet, give or take three. Turn the volume of this device until you hear this well over the wind.',
      prefs.rate,
    );
    setState('asked');
  };
  return (
    <div class="volume">
      <p class="buttons">
        <button type="button" disabled={state === 'speaking'} onClick={() => void test()}>
          {state === 'speaking' ? 'Speaking' : 'Test the volume'}
        </button>
        {state === 'asked' && (
          <>
            <button type="button" onClick={() => setState('heard')}>
              I heard it
            </button>
            <button type="button" onClick={() => setState('silent')}>
              I heard nothing
            </button>
          </>
        )}
      </p>
      <AnswerText
        text={
          state === 'heard'
            ? 'Good: replies are as loud as that.'
            : state === 'silent'
              ? 'Look whether the device is silenced, and whether a headset takes the sound. Then test again.'
              : ''
        }
      />
    </div>
  );
}

const whoHears = (server: boolean, hears: boolean): string =>
  !server
    ? 'There is no server: this browser hears, or nobody.'
    : hears
      ? 'The server hears.'
      : 'The server does not hear now.';

export function OwnEar() {
  const { conversation, prefs, setPrefs, openEar } = usePage();
  const [state, setState] = useState('');
  const set = async (hearHere: boolean) => {
    setPrefs({ hearHere });
    if (!hearHere) return setState('');
    setState('Fetching the ear: about 20 megabytes, once.');
    const sentence = await openEar();
    if (sentence !== null) setPrefs({ hearHere: false });
    setState(sentence ?? 'This browser hears by itself now, also without a network.');
    if (sentence === null) void conversation.hearWaiting();
  };
  return (
    <section>
      <h2>Hearing</h2>
      <p class="fact">
        {whoHears(hasServer, conversation.server?.hears ?? false)}{' '}
        {prefs.hearHere
          ? 'Where nobody else can, this browser does.'
          : 'Without it, what you say is kept and heard later, or you type.'}
      </p>
      <Switch label="Hear in this browser" on={prefs.hearHere} onSet={(on) => void set(on)} />
      <AnswerText text={state} />
    </section>
  );
}

export function Keys() {
  const { prefs, setPrefs } = usePage();
  const [waiting, setWaiting] = useState(false);
  // Before the browser draws "press the key now", so that no key is missed.
  useLayoutEffect(() => {
    if (!waiting) return;
    const take = (event: KeyboardEvent) => {
      event.preventDefault();
      event.stopPropagation();
      // Tab and Escape must go on meaning what they mean.
      if (event.key !== 'Escape' && event.key !== 'Tab') setPrefs({ talkKey: event.code || event.key });
      setWaiting(false);
    };
    addEventListener('keydown', take, { capture: true });
    return () => removeEventListener('keydown', take, { capture: true });
  }, [waiting, setPrefs]);
  return (
    <section>
      <h2>Key to hold</h2>
      <p class="fact">
        Hold the {keyName(prefs.talkKey)} to talk. A headset or a clicker may send another key.
      </p>
      <button type="button" aria-pressed={waiting} onClick={() => setWaiting(!waiting)}>
        {waiting ? 'Press the key now' : 'Choose another key'}
      </button>
    </section>
  );
}

export function Storage() {
  const { conversation } = usePage();
  const [room, setRoom] = useState('');
  const [waiting, setWaiting] = useState(0);
  useEffect(() => {
    void conversation.parts.store.waiting().then((sounds) => setWaiting(sounds.length));
    void navigator.storage?.estimate().then(({ usage = 0, quota = 0 }) => {
      setRoom(`${(usage / 2 ** 20).toFixed(1)} of ${(quota / 2 ** 20).toFixed(0)} megabytes used.`);
    });
  }, [conversation.version]);
  return (
    <section>
      <h2>Where the notes are</h2>
      <p class="fact">
        In this browser, {conversation.book.entries.length} entries. {room}{' '}
        {conversation.server?.book && `The server keeps them in ${conversation.server.book}. `}
        {waiting > 0 && `${waiting} sounds wait to be heard. `}
      </p>
      {waiting > 0 && (
        <button type="button" onClick={() => void conversation.hearWaiting()}>
          Hear them now
        </button>
      )}
      <button
        type="button"
        onClick={async () => {
          const kept = (await navigator.storage?.persist?.()) ?? false;
          setRoom(
            kept
              ? 'The browser promises not to clear it by itself.'
              : 'The browser makes no promise: take the book with you at night.',
          );
        }}
      >
        Ask the browser never to clear it
      </button>
    </section>
  );
}
