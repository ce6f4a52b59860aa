/**
 * When a note begins and when it has ended, frame by frame: a state machine without a clock, a microphone or a
 * grammar. What it needs to know of the words so far is handed in; what it decided comes out.
 */
import { voiceFrameSeconds } from './voice-activity.ts';

/** `idle`: nobody speaks; `speech`: somebody does; `tail`: somebody did, and may go on. */
type Phase = 'idle' | 'speech' | 'tail';

/**
 * What the words so far are. `unknown`: not looked at yet, or no words; `open`: the beginning of a note; `longer`: a
 * note that usually goes on; `complete`: a note that seldom goes on; `closed`: a note after which nothing can come.
 */
export type Standing = 'unknown' | 'open' | 'longer' | 'complete' | 'closed';

/**
 * How the tool listens. `open`: to everything; `muted`: to nothing, because it speaks itself or the button is held;
 * `guarded`: it speaks, but a clear voice over its own may interrupt it.
 */
export type ListeningGate = 'open' | 'muted' | 'guarded';

export interface EndpointFrame {
  /** Probability that somebody speaks in this frame. */
  readonly voice: number;
  /** Decibels of full scale; only looked at while guarded. */
  readonly level: number;
  readonly standing: Standing;
  /** Frames since the last sound of the words, where they were looked at in this silence. */
  readonly rested?: number | undefined;
  readonly gate: ListeningGate;
}

export interface EndpointState {
  readonly phase: Phase;
  /** Frames taken so far. */
  readonly now: number;
  /** Frame at which the clip in hand begins, pre-roll included; only meaningful outside of `idle`. */
  readonly from: number;
  /** Frames with a voice in the clip in hand. */
  readonly voiced: number;
  /** Frames since the last one with a voice. */
  readonly silent: number;
  /** Frame before which no clip may begin: the end of the last one, or of the reply. */
  readonly barrier: number;
  /** The clip in hand is longer than any note: it is waited out. */
  readonly over: boolean;
  /** Nothing was listened to just now: who speaks already is in the middle of something, and a silence is waited for. */
  readonly barred: boolean;
  /** Loudest frame of the own reply so far, and how many frames stood out of it in a row. */
  readonly echo: number;
  readonly clear: number;
  readonly guardedFor: number;
}

/** What a frame brought about; frames are counted from the first ever taken, `to` is the first frame behind the clip. */
export type Decided =
  | { readonly kind: 'began'; readonly from: number }
  /** Too short for a word: a click, a breath, a twig. */
  | { readonly kind: 'dropped'; readonly from: number; readonly to: number }
  /** Silence for as long as `paused` says: now is the time to look at the words. */
  | { readonly kind: 'paused' }
  | { readonly kind: 'resumed' }
  | { readonly kind: 'ended'; readonly from: number; readonly to: number }
  /** Longer than any note: it is left out as a whole. */
  | { readonly kind: 'overlong'; readonly from: number; readonly to: number }
  /** Somebody spoke over the reply: it should stop. */
  | { readonly kind: 'interrupted' };

const frames = (seconds: number): number => Math.round(seconds / voiceFrameSeconds);

/** All in frames of `voiceFrameSeconds`, levels in decibels, voices as probabilities. */
export const endpointLimits = {
  /** A voice at least this likely begins speech; one below `stays` ends it. */
  begins: 0.5,
  stays: 0.35,
  /** Kept from before the first voice: the beginning of a word is soft. */
  preroll: frames(0.3),
  /** Fewer frames with a voice are no word. */
  shortest: frames(0.1),
  /** A note that is longer, seconds of the acoustic model's window included, is none. */
  longest: frames(29.4),
  /** Silence after which the words are looked at: no stop inside a word lasts as long. */
  paused: frames(0.13),
  /**
   * Silence that ends the clip, by what the words are. Fitted on spoken notes (see the bench `listening`): pauses
   * inside of a note, at its commas, last 0.1 to 0.5 s.
   */
  waits: {
    unknown: frames(0.6),
    open: frames(0.8),
    longer: frames(0.34),
    complete: frames(0.19),
    closed: frames(0.16),
  },
  /** Silence after a reply, or after the button, from which on a note may begin. */
  clears: frames(0.1),
  /** Over the own reply a voice must stand out by so much, for so long, and not before its echo is known. */
  standsOut: 9,
  clearVoice: 0.8,
  clearFor: frames(0.26),
  learnsEcho: frames(0.5),
} as const;

export const quietState: EndpointState = {
  phase: 'idle',
  now: 0,
  from: 0,
  voiced: 0,
  silent: 0,
  barrier: 0,
  over: false,
  barred: false,
  echo: -100,
  clear: 0,
  guardedFor: 0,
};

/**
 * Takes one frame. Laws (tested): clips neither overlap nor leave the order of time; each that began is ended,
 * dropped or overlong, once; while muted nothing begins.
 *
 * @example listen(quietState, { voice: 0.9, level: -20, standing: 'unknown', gate: 'open' }).decided?.kind // 'began'
 */
export function listen(
  state: EndpointState,
  frame: EndpointFrame,
): { readonly state: EndpointState; readonly decided: Decided | null } {
  switch (frame.gate) {
    case 'muted':
      return ignored(state);
    case 'guarded':
      return guarded(state, frame);
    case 'open':
      return attentive(state, frame);
  }
}

/**
 * Whether a silence ends the clip: `silent` frames without a voice, and, where the words were looked at in it, `rested` frames
 * behind their last sound. A voice network falls silent later than the voice does, an acoustic model hears the last
 * sound of a word before it has died away: the silence began halfway between the two.
 *
 * @example hasEnded({ silent: 4, standing: 'closed', rested: 7 }) // true
 */
export const hasEnded = ({ silent, standing, rested = silent }: Silence): boolean =>
  Math.max(silent, Math.floor((silent + rested) / 2)) >= endpointLimits.waits[standing];

type Silence = Pick<EndpointState, 'silent'> & Pick<EndpointFrame, 'standing' | 'rested'>;

/** The state after a clip that was ended for another reason than silence: the next one may begin at once. */
export const afterClip = ({ now }: EndpointState): EndpointState => ({ ...quietState, now, barrier: now });

function attentive(
  before: EndpointState,
  frame: EndpointFrame,
): { readonly state: EndpointState; readonly decided: Decided | null } {
  const state = { ...before, now: before.now + 1, echo: -100, clear: 0, guardedFor: 0 };
  const { phase, now } = state;
  const voiced = frame.voice >= (phase === 'speech' ? endpointLimits.stays : endpointLimits.begins);
  if (phase === 'idle') {
    if (state.barred) {
      const silent = voiced ? 0 : state.silent + 1;
      return { state: { ...state, silent, barred: silent < endpointLimits.clears }, decided: null };
    }
    if (!voiced) return { state, decided: null };
    const from = Math.max(state.barrier, before.now - endpointLimits.preroll);
    return {
      state: { ...state, phase: 'speech', from, voiced: 1, silent: 0, over: false },
      decided: { kind: 'began', from },
    };
  }
  if (voiced) {
    const going = { ...state, phase: 'speech' as const, voiced: state.voiced + 1, silent: 0 };
    if (!state.over && now - state.from >= endpointLimits.longest)
      return {
        state: { ...going, over: true, barrier: now },
        decided: { kind: 'overlong', from: state.from, to: now },
      };
    return { state: going, decided: phase === 'tail' && !state.over ? { kind: 'resumed' } : null };
  }
  const silent = state.silent + 1;
  const tail = { ...state, phase: 'tail' as const, silent };
  const rested = { ...tail, phase: 'idle' as const, over: false };
  if (state.over) return { state: silent >= endpointLimits.waits.closed ? rested : tail, decided: null };
  const ending = { from: state.from, to: now };
  if (state.voiced < endpointLimits.shortest)
    return silent >= endpointLimits.waits.longer
      ? { state: { ...rested, barrier: before.barrier }, decided: { kind: 'dropped', ...ending } }
      : { state: tail, decided: null };
  const most = now - state.from >= endpointLimits.longest;
  if (most || hasEnded({ silent, standing: frame.standing, rested: frame.rested }))
    return { state: { ...rested, barrier: now }, decided: { kind: 'ended', ...ending } };
  return { state: tail, decided: silent === endpointLimits.paused ? { kind: 'paused' } : null };
}

/** Nothing is listened to; a clip in hand is given up. */
function ignored(before: EndpointState): { state: EndpointState; decided: Decided | null } {
  const now = before.now + 1;
  const state: EndpointState = { ...quietState, now, barrier: now, barred: true };
  const open = before.phase !== 'idle' && !before.over;
  return { state, decided: open ? { kind: 'dropped', from: before.from, to: before.now } : null };
}

/** The reply is heard as well: only what stands out of it for a while is a person. */
function guarded(
  before: EndpointState,
  frame: EndpointFrame,
): { state: EndpointState; decided: Decided | null } {
  const { state, decided } = ignored(before);
  const guardedFor = before.guardedFor + 1;
  const learning = guardedFor <= endpointLimits.learnsEcho;
  const out =
    !learning &&
    frame.voice >= endpointLimits.clearVoice &&
    frame.level >= before.echo + endpointLimits.standsOut;
  const clear = out ? before.clear + 1 : 0;
  const echo = out ? before.echo : Math.max(before.echo, frame.level);
  if (clear < endpointLimits.clearFor) return { state: { ...state, echo, clear, guardedFor }, decided };
  // What was said over the reply belongs to the clip; the reply had begun long before.
  const from = state.now - clear - 2;
  return {
    state: { ...state, phase: 'speech', from, voiced: clear, barrier: from, barred: false },
    decided: { kind: 'interrupted' },
  };
}
