/** The sounds of notes: kept on this device only, or not at all; deleted with their entries kept. */
import { useEffect, useState } from 'preact/hooks';
import { Switch } from './controls.tsx';
import { usePage } from './page.tsx';
import { AnswerText } from './parts.tsx';

export function Sounds() {
  const { conversation, prefs, setPrefs } = usePage();
  const { store } = conversation.parts;
  const [count, setCount] = useState(0);
  const [said, setSaid] = useState('');
  useEffect(() => {
    void store.clipCount().then(setCount);
  }, [conversation.version, said]);
  const wipe = async () => {
    const gone = await store.dropAllClips();
    setSaid(`${gone === 1 ? 'One sound is' : `${gone} sounds are`} deleted. Every entry is still there.`);
  };
  return (
    <section>
      <h2>Sounds of notes</h2>
      <p class="fact">
        {count === 0
          ? 'No sound of a note is kept here.'
          : `${count === 1 ? 'The sound of one note is' : `The sounds of ${count} notes are`} kept in this browser and nowhere else.`}
      </p>
      <Switch
        label="Keep the sound with each note"
        on={prefs.keepSounds}
        onSet={(keepSounds) => setPrefs({ keepSounds })}
      />
      {count > 0 && (
        <p class="buttons">
          <button type="button" onClick={() => void wipe()}>
            Delete all sounds, keep the entries
          </button>
        </p>
      )}
      <AnswerText text={said} />
    </section>
  );
}
