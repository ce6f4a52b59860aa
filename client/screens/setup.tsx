/** Setup: what belongs to the book (pace, eye, units, devices, people) and what belongs to this device (look, voice, keys). */
import { useEffect, useLayoutEffect, useState } from 'preact/hooks';
import * as wording from '../../shared/book/wording.ts';
import { type LengthUnit, type LogRule, logRules, type NoteOf } from '../../shared/note.ts';
import { species, spokenName } from '../../shared/species.ts';
import { keyName } from '../keys.ts';
import { usePage } from '../page.tsx';
import { themes } from '../prefs.ts';
import { AttentionWord } from './attention.tsx';
import { Answer, useTelling } from './parts.tsx';
import { Safety } from './safety.tsx';

export function Setup() {
  return (
    <div class="screen setup">
      <h1>Setup</h1>
      <Safety />
      <Pace />
      <Person />
      <Species />
      <Look />
      <Voice />
      <OwnEar />
      <AttentionWord />
      <Keys />
      <Storage />
    </div>
  );
}

type Set = NoteOf<'setting'>['set'];

function Pace() {
  const { host } = usePage();
  const now = host.settings;
  const { answer, tell } = useTelling();
  const set = (what: Set) => void tell({ kind: 'setting', set: what });
  const [count, setCount] = useState('');
  const [over, setOver] = useState('');
  const [eye, setEye] = useState('');
  const unit: LengthUnit = now.units === 'metres' ? 'm' : 'ft';
  const unitName = now.units === 'metres' ? 'metres' : 'feet';
  const walk = (event: Event) => {
    event.preventDefault();
    const [paces, length] = [numberOf(count), numberOf(over)];
    if (paces === null || length === null) return;
    set({ what: 'walk', count: paces, of: now.counting, length: { value: length, unit } });
    setCount('');
  };
  return (
    <section>
      <h2>Pace, eye and units</h2>
      <Answer text={answer} />
      <p class="fact">
        {now.pace
          ? `Pace ${wording.paceLength(now.pace.feet, now.units)}, give or take ${wording.paceLength(now.pace.sdFeet, now.units)}, from ${
              now.walks.length === 0 ? 'what you said' : `${now.walks.length} walks`
            }.`
          : 'No pace yet. Walk a known distance at your usual stride and count.'}{' '}
        {now.eye ? `Eye height ${wording.eyeHeight(now.eye.feet, now.units)}.` : 'No eye height yet.'}
      </p>
      <form class="fields" onSubmit={walk}>
        <label>
          {now.counting === 'steps' ? 'Single steps' : 'Paces (two steps each)'}
          <input inputMode="decimal" value={count} onInput={(event) => setCount(event.currentTarget.value)} />
        </label>
        <label>
          over so many {unitName}
          <input inputMode="decimal" value={over} onInput={(event) => setOver(event.currentTarget.value)} />
        </label>
        <button type="submit" disabled={numberOf(count) === null || numberOf(over) === null}>
          Add this walk
        </button>
      </form>
      <form
        class="fields"
        onSubmit={(event) => {
          event.preventDefault();
          const value = numberOf(eye);
          if (value !== null) set({ what: 'eye', length: { value, unit } });
        }}
      >
        <label>
          Eye height, {unitName}
          <input inputMode="decimal" value={eye} onInput={(event) => setEye(event.currentTarget.value)} />
        </label>
        <button type="submit" disabled={numberOf(eye) === null}>
          Set
        </button>
      </form>
      <Choice
        legend="I count"
        value={now.counting}
        options={[
          ['paces', 'paces'],
          ['steps', 'single steps'],
        ]}
        onPick={(of) => set({ what: 'counting', of })}
      />
      <Choice
        legend="Units"
        value={now.units}
        options={[
          ['feet', 'feet and inches'],
          ['metres', 'metres'],
        ]}
        onPick={(units) => set({ what: 'units', units })}
      />
      <Choice
        legend="Brush or slope makes my paces shorter by"
        value={String(now.groundShorter)}
        options={[
          ['0', 'nothing'],
          ['5', '5 %'],
          ['10', '10 %'],
          ['15', '15 %'],
        ]}
        onPick={(shorter) => set({ what: 'ground', shorter: Number(shorter) })}
      />
      <Scatter />
      <Choice
        legend="Log rule"
        value={now.logRule ?? 'international'}
        options={logRules.map((rule) => [rule, rule] as const)}
        onPick={(rule: LogRule) => set({ what: 'logRule', rule })}
      />
    </section>
  );
}

/** How far single readings of a device scatter here. */
function Scatter() {
  const { host } = usePage();
  const now = host.settings;
  const { answer, tell } = useTelling();
  const [device, setDevice] = useState<'laser' | 'sonic' | 'tape'>('laser');
  const [value, setValue] = useState('');
  const unit: LengthUnit = now.units === 'metres' ? 'm' : 'ft';
  return (
    <form
      class="fields"
      onSubmit={(event) => {
        event.preventDefault();
        const length = numberOf(value);
        if (length !== null)
          void tell({ kind: 'setting', set: { what: 'scatter', device, length: { value: length, unit } } });
      }}
    >
      <label>
        Readings of the
        <select
          value={device}
          onChange={(event) => setDevice(event.currentTarget.value as 'laser' | 'sonic' | 'tape')}
        >
          <option value="laser">laser</option>
          <option value="sonic">sonic device</option>
          <option value="tape">tape drop</option>
        </select>
      </label>
      <label>
        scatter by, {now.units === 'metres' ? 'metres' : 'feet'}
        <input
          inputMode="decimal"
          value={value}
          placeholder={now.scatter[device]?.toFixed(1) ?? ''}
          onInput={(event) => setValue(event.currentTarget.value)}
        />
      </label>
      <button type="submit" disabled={numberOf(value) === null}>
        Set
      </button>
      <Answer text={answer} />
    </form>
  );
}

function Person() {
  const { host } = usePage();
  const now = host.settings;
  const people = [
    ...new Set(
      host.book.entries.flatMap((entry) =>
        entry.note.kind === 'setting' && entry.note.set.what === 'person' ? [entry.note.set.name] : [],
      ),
    ),
  ];
  const [name, setName] = useState('');
  const { answer, tell } = useTelling();
  const be = (who: string) => void tell({ kind: 'setting', set: { what: 'person', name: who } });
  return (
    <section>
      <h2>People</h2>
      <p class="fact">{now.person ? `${wording.sentence(now.person)} is speaking.` : 'Nobody was named.'}</p>
      <Answer text={answer} />
      <p class="buttons">
        {people.map((who) => (
          <button key={who} type="button" aria-pressed={who === now.person} onClick={() => be(who)}>
            {who}
          </button>
        ))}
      </p>
      <form
        class="fields"
        onSubmit={(event) => {
          event.preventDefault();
          if (name.trim() !== '') be(name.trim().toLowerCase());
          setName('');
        }}
      >
        <label>
          Another name
          <input value={name} maxLength={80} onInput={(event) => setName(event.currentTarget.value)} />
        </label>
        <button type="submit" disabled={name.trim() === ''}>
          Set
        </button>
      </form>
    </section>
  );
}

function Species() {
  const { host } = usePage();
  const own = host.book.words;
  const { nicknames } = host.settings;
  const [find, setFind] = useState('');
  const found = species.filter(
    (one) =>
      find.trim() !== '' &&
      [one.commonName, one.scientificName, ...one.nicknames].some((name) =>
        spokenName(name).includes(spokenName(find)),
      ),
  );
  return (
    <section>
      <h2>Species</h2>
      <p class="fact">
        {species.length} species can be said by name.{' '}
        {own.length > 0 && `Own words: ${wording.list(own.map((one) => one.word))}. `}
        {nicknames.size > 0 &&
          `Here, ${wording.list([...nicknames].map(([name, code]) => `${name} is ${wording.speciesName(code)}`))}. `}
        Teach another: <q>call sugar maple hard rock</q>.
      </p>
      <form class="fields" onSubmit={(event) => event.preventDefault()}>
        <label>
          Look one up
          <input value={find} onInput={(event) => setFind(event.currentTarget.value)} />
        </label>
      </form>
      <ul class="found">
        {found.slice(0, 12).map((one) => (
          <li key={one.code}>
            <b>{spokenName(one.commonName)}</b> <i>{one.scientificName}</i>
            {one.nicknames.length > 0 && <small> also {wording.list(one.nicknames, 'or')}</small>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Look() {
  const { prefs, setPrefs } = usePage();
  return (
    <section>
      <h2>Look of this device</h2>
      <Choice
        legend="Theme"
        value={prefs.theme}
        options={themes.map((theme) => [theme, theme] as const)}
        onPick={(theme) => setPrefs({ theme })}
      />
      <Choice
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

function Voice() {
  const { prefs, setPrefs, voice } = usePage();
  return (
    <section>
      <h2>Voice and sounds</h2>
      <Switch label="Speak the replies" on={!prefs.mute} onSet={(on) => setPrefs({ mute: !on })} />
      <Choice
        legend="Say"
        value={prefs.said}
        options={[
          ['all', 'the whole reply'],
          ['first', 'its first sentence'],
        ]}
        onPick={(said) => setPrefs({ said })}
      />
      <Choice
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
      <Switch label="Short sounds" on={prefs.sounds} onSet={(sounds) => setPrefs({ sounds })} />
      <Switch label="Buzz" on={prefs.buzz} onSet={(buzz) => setPrefs({ buzz })} />
    </section>
  );
}

function OwnEar() {
  const { host, prefs, setPrefs, openEar } = usePage();
  const [state, setState] = useState('');
  const set = async (hearHere: boolean) => {
    setPrefs({ hearHere });
    if (!hearHere) return setState('');
    setState('Fetching the ear: about 20 megabytes, once.');
    const sentence = await openEar();
    if (sentence !== null) setPrefs({ hearHere: false });
    setState(sentence ?? 'This browser hears by itself now, also without a network.');
    if (sentence === null) void host.hearWaiting();
  };
  return (
    <section>
      <h2>Hearing</h2>
      <p class="fact">
        {host.server?.hears ? 'The server hears.' : 'The server does not hear now.'}{' '}
        {prefs.hearHere
          ? 'Where it cannot, this browser does.'
          : 'Without it, what you say is kept and heard later, or you type.'}
      </p>
      <Switch label="Hear in this browser" on={prefs.hearHere} onSet={(on) => void set(on)} />
      <Answer text={state} />
    </section>
  );
}

function Keys() {
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

function Storage() {
  const { host } = usePage();
  const [room, setRoom] = useState('');
  const [waiting, setWaiting] = useState(0);
  useEffect(() => {
    void host.parts.store.waiting().then((sounds) => setWaiting(sounds.length));
    void navigator.storage?.estimate().then(({ usage = 0, quota = 0 }) => {
      setRoom(`${(usage / 2 ** 20).toFixed(1)} of ${(quota / 2 ** 20).toFixed(0)} megabytes used.`);
    });
  }, [host.version]);
  return (
    <section>
      <h2>Where the notes are</h2>
      <p class="fact">
        In this browser, {host.book.entries.length} entries. {room}{' '}
        {host.server?.book && `The server keeps them in ${host.server.book}. `}
        {waiting > 0 && `${waiting} sounds wait to be heard. `}
      </p>
      {waiting > 0 && (
        <button type="button" onClick={() => void host.hearWaiting()}>
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

function Choice<T extends string>(props: {
  readonly legend: string;
  readonly value: string;
  readonly options: readonly (readonly [T, string])[];
  readonly onPick: (value: T) => void;
}) {
  return (
    <fieldset class="choice">
      <legend>{props.legend}</legend>
      {props.options.map(([value, label]) => (
        <button
          key={value}
          type="button"
          aria-pressed={value === props.value}
          onClick={() => props.onPick(value)}
        >
          {label}
        </button>
      ))}
    </fieldset>
  );
}

function Switch(props: {
  readonly label: string;
  readonly on: boolean;
  readonly onSet: (on: boolean) => void;
}) {
  return (
    <p class="switch">
      <button type="button" role="switch" aria-checked={props.on} onClick={() => props.onSet(!props.on)}>
        {props.label} <b>{props.on ? 'yes' : 'no'}</b>
      </button>
    </p>
  );
}

/** A number as typed, comma or point; null when it is none or not above zero. */
function numberOf(text: string): number | null {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() !== '' && Number.isFinite(value) && value > 0 ? value : null;
}
