/** Setup: short leaves, found by their names or by what one wants to do. */
import type { ComponentType } from 'preact';
import { useState } from 'preact/hooks';
import { usePage } from './page.tsx';
import { Safety } from './safety.tsx';
import { Pace, Person, Scatter, SpeciesSetup, SupposedErrors, UnitsSetup } from './setup-book.tsx';
import { Keys, Look, OwnEar, Storage, VoiceSetup } from './setup-device.tsx';
import { OwnVoice } from './setup-own-voice.tsx';
import { Sounds } from './setup-sounds.tsx';
import { AttentionWord } from './wake-word.tsx';

interface Leaf {
  readonly name: string;
  /** What it is about, in a line. */
  readonly says: string;
  /** What one may want to do there, in the words of who wants it. */
  readonly wishes: string;
  readonly parts: readonly ComponentType[];
}

/** First what belongs to the book, then what belongs to this device. */
const leaves = {
  safety: {
    name: 'Safety',
    says: 'Before you go in.',
    wishes: 'danger cautions dead tops power lines felling clearance appraisal',
    parts: [Safety],
  },
  person: {
    name: 'Person',
    says: 'Who is measuring.',
    wishes: 'change my name another person crew who speaks share the phone',
    parts: [Person],
  },
  pace: {
    name: 'Pace and eye',
    says: 'Your pace, the height of your eye, brush and slope.',
    wishes: 'calibrate walk steps stride count paces boots eye height brush slope shorter',
    parts: [Pace],
  },
  units: {
    name: 'Units',
    says: 'Feet or metres, the log rule.',
    wishes: 'metric metres feet inches centimetres log rule doyle scribner international board feet',
    parts: [UnitsSetup],
  },
  species: {
    name: 'Species',
    says: 'Names that can be said, and your own.',
    wishes: 'teach a name nickname look up latin scientific own words tree kinds',
    parts: [SpeciesSetup],
  },
  voice: {
    name: 'Voice',
    says: 'How the replies are spoken, and how loud.',
    wishes: 'louder volume test slower faster quiet mute shorter replies sounds beep buzz vibrate',
    parts: [VoiceSetup],
  },
  hearing: {
    name: 'Hearing',
    says: 'An ear of its own, hands-free, the key to hold.',
    wishes:
      'microphone hear offline without network hands-free wake word attention headset button clicker space bar key',
    parts: [OwnEar, AttentionWord, Keys],
  },
  ownVoice: {
    name: 'How you sound',
    says: 'Learn how who speaks sounds, from notes or by reading aloud; forget it again.',
    wishes:
      'train learn my voice accent dialect read aloud understand me better profile forget privacy asks too often',
    parts: [OwnVoice],
  },
  devices: {
    name: 'Devices',
    says: 'Lasers, sonic devices and tapes: how far they scatter; other supposed errors.',
    wishes: 'laser rangefinder hypsometer sonic tape error accuracy scatter',
    parts: [Scatter, SupposedErrors],
  },
  look: {
    name: 'Look',
    says: 'Theme, thumb, screen, position.',
    wishes: 'dark night sun bright glare left hand thumb keep the screen lit on position gps map theme',
    parts: [Look],
  },
  storage: {
    name: 'Where the notes are',
    says: 'What this browser keeps, and for how long.',
    wishes: 'privacy delete recordings clips storage space room full lost clear backup server waiting sounds',
    parts: [Storage, Sounds],
  },
} as const satisfies Record<string, Leaf>;
type LeafName = keyof typeof leaves;

const isLeaf = (name: string): name is LeafName => Object.hasOwn(leaves, name);

export function Setup() {
  const { leaf, prefs } = usePage();
  if (isLeaf(leaf)) return <OneLeaf leaf={leaves[leaf]} />;
  return (
    <div class="screen setup">
      <h1>Setup</h1>
      {!prefs.safety && <Safety />}
      <Index />
    </div>
  );
}

function Index() {
  const [find, setFind] = useState('');
  const wanted = find.toLowerCase().match(/[a-z0-9-]+/g) ?? [];
  const found = (Object.entries(leaves) as [LeafName, Leaf][]).filter(([, { name, says, wishes }]) => {
    const text = ` ${`${name} ${says} ${wishes}`.toLowerCase()}`;
    return wanted.every((word) => text.includes(` ${word}`));
  });
  return (
    <>
      <form class="fields" onSubmit={(event) => event.preventDefault()}>
        <label>
          What do you want to do?
          <input
            type="search"
            value={find}
            placeholder="louder, metres, dark"
            autocomplete="off"
            onInput={(event) => setFind(event.currentTarget.value)}
          />
        </label>
      </form>
      <ul class="leaves">
        {found.map(([key, { name, says }]) => (
          <li key={key}>
            <a href={`#setup/${key}`}>
              <b>{name}</b>
              <span>{says}</span>
            </a>
          </li>
        ))}
      </ul>
      <p class="none" role="status">
        {found.length === 0 ? 'Nothing here by that name. Help lists all that can be said.' : ''}
      </p>
    </>
  );
}

function OneLeaf({ leaf }: { readonly leaf: Leaf }) {
  return (
    <div class="screen setup">
      <p class="buttons">
        <a class="button" href="#setup">
          All of Setup
        </a>
      </p>
      <h1>{leaf.name}</h1>
      {leaf.parts.map((Part, at) => (
        <Part key={at} />
      ))}
    </div>
  );
}
