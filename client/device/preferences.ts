/** What this browser is set to: look, voice, keys. It belongs to the device, not to the book. */
import * as z from 'zod/mini';
import { hearsAlone } from './home.ts';

/** Looks of the page; `device` is night where the device is set to dark, else paper. */
export const themes = ['device', 'paper', 'night', 'sun'] as const;

const prefsSchema = z.object({
  theme: z.catch(z.enum(themes), 'device'),
  /** Replies are not spoken. */
  mute: z.catch(z.boolean(), false),
  /** Speed of the voice, 1 is usual. */
  rate: z.catch(z.number().check(z.minimum(0.5), z.maximum(2)), 1),
  /** `all` of a reply is spoken, its `first` sentence, or only its sounds. */
  said: z.catch(z.enum(['all', 'first']), 'all'),
  sounds: z.catch(z.boolean(), true),
  buzz: z.catch(z.boolean(), true),
  /** `KeyboardEvent.code` of the key that is held to talk. */
  talkKey: z.catch(z.string(), 'Space'),
  /** Side of the thumb. */
  hand: z.catch(z.enum(['right', 'left']), 'right'),
  /** Keep the screen lit while the page is open. */
  awake: z.catch(z.boolean(), false),
  /** Put the position beside each note. */
  place: z.catch(z.boolean(), false),
  /** Hear in the page itself, once the model is here: the usual thing where the page goes to the woods. */
  hearHere: z.catch(z.boolean(), hearsAlone),
  /** Keep the sound of each note on this device. */
  keepSounds: z.catch(z.boolean(), true),
  /** Learn how who speaks here sounds, and what is said; only when the person allows it. */
  learns: z.catch(z.boolean(), false),
  /** The first steps are put away. */
  stepsAway: z.catch(z.boolean(), false),
  /** The safety page was read. */
  safety: z.catch(z.boolean(), false),
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
