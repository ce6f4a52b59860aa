/** What this browser is set to: look, voice, keys. It belongs to the device, not to the book. */
import { z } from 'zod';
import { hearsAlone } from './home.ts';

/** Looks of the page; `device` is night where the device is set to dark, else paper. */
export const themes = ['device', 'paper', 'night', 'sun'] as const;

const prefsSchema = z.object({
  theme: z.enum(themes).catch('device'),
  /** Replies are not spoken. */
  mute: z.boolean().catch(false),
  /** Speed of the voice, 1 is usual. */
  rate: z.number().min(0.5).max(2).catch(1),
  /** `all` of a reply is spoken, its `first` sentence, or only its sounds. */
  said: z.enum(['all', 'first']).catch('all'),
  sounds: z.boolean().catch(true),
  buzz: z.boolean().catch(true),
  /** `KeyboardEvent.code` of the key that is held to talk. */
  talkKey: z.string().catch('Space'),
  /** Side of the thumb. */
  hand: z.enum(['right', 'left']).catch('right'),
  /** Keep the screen lit while the page is open. */
  awake: z.boolean().catch(false),
  /** Put the position beside each note. */
  place: z.boolean().catch(false),
  /** Hear in the page itself, once the model is here: the usual thing where the page goes to the woods. */
  hearHere: z.boolean().catch(hearsAlone),
  /** Keep the sound of each note on this device. */
  keepSounds: z.boolean().catch(true),
  /** The first steps are put away. */
  stepsAway: z.boolean().catch(false),
  /** The safety page was read. */
  safety: z.boolean().catch(false),
});
export type Preferences = z.infer<typeof prefsSchema>;

const place = 'stemsay.prefs';

export function readPreferences(): Preferences {
  let stored: unknown = {};
  try {
    stored = JSON.parse(localStorage.getItem(place) ?? '{}');
  } catch {
    // Storage refused or damaged: the usual settings.
  }
  return prefsSchema.parse(typeof stored === 'object' && stored !== null ? stored : {});
}

export function writePreferences(prefs: Preferences): void {
  try {
    localStorage.setItem(place, JSON.stringify(prefs));
  } catch {
    // Not kept; in force until the page is closed.
  }
}
