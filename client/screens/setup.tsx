/** Setup: first what belongs to the book, then what belongs to this device. */

import { Safety } from './safety.tsx';
import { Pace, Person, SpeciesSetup } from './setup-book.tsx';
import { Keys, Look, OwnEar, Storage, VoiceSetup } from './setup-device.tsx';
import { Sounds } from './setup-sounds.tsx';
import { AttentionWord } from './wake-word.tsx';

export function Setup() {
  return (
    <div class="screen setup">
      <h1>Setup</h1>
      <Safety />
      <Pace />
      <Person />
      <SpeciesSetup />
      <Look />
      <VoiceSetup />
      <OwnEar />
      <AttentionWord />
      <Keys />
      <Sounds />
      <Storage />
    </div>
  );
}
