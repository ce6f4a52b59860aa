/** Telling the tool how to listen and speak. */
import type { Rule } from '../model.ts';

const family = 'Listening';

const said: readonly {
  readonly op: 'stop' | 'start' | 'quiet' | 'speak' | 'slower' | 'faster' | 'forget';
  readonly help: string;
  readonly words: readonly [string, string, string, ...string[]];
}[] = [
  {
    op: 'stop',
    help: 'I stop listening until you tap or say "start listening".',
    words: [
      'stop listening',
      'stop',
      'stop listening for (a minute | a moment | now)',
      'pause',
      'microphone off',
      'go to sleep',
    ],
  },
  {
    op: 'start',
    help: 'I listen again.',
    words: [
      'start listening',
      'listen',
      'start listening again',
      'wake up',
      'microphone on',
      'go on',
      'resume',
      'resume listening',
    ],
  },
  {
    op: 'quiet',
    help: 'Answers are only shown.',
    words: ['quiet', 'be quiet', 'silence', 'stop talking', 'hush', 'mute', 'shut up'],
  },
  {
    op: 'speak',
    help: 'Answers are said aloud.',
    words: ['speak', 'speak up', 'talk to me', 'answer aloud', 'voice on', 'unmute'],
  },
  {
    op: 'slower',
    help: 'I speak slower.',
    words: ['slower', 'speak slower', 'slow down', 'too fast', 'talk slower'],
  },
  {
    op: 'faster',
    help: 'I speak faster.',
    words: ['faster', 'speak faster', 'speed up', 'too slow', 'talk faster'],
  },
  {
    op: 'forget',
    help: 'This device forgets how you sound.',
    words: ['forget my voice', 'forget how i sound', 'unlearn my voice'],
  },
];

export const controlRules: readonly Rule[] = [
  ...said.map(
    ({ op, help, words }): Rule => ({
      id: `control.${op}`,
      family,
      help,
      sets: ['kind=control', `op=${op}`],
      weight: 0.4,
      patterns: [...words],
      examples: words
        .filter((each) => !each.includes('('))
        .slice(0, 3)
        .map((each) => ({ words: each, note: { kind: 'control', op } as const })),
    }),
  ),
  {
    id: 'control.putOut',
    family: 'Phones',
    help: 'Puts a phone out, by the name it was let in with; it is asked first.',
    sets: ['kind=control', 'op=putOut'],
    weight: 0.1,
    patterns: ['(forget | put out) [the] phone [of] <word+> {phone=@}'],
    examples: [
      { words: 'forget the phone of wren', note: { kind: 'control', op: 'putOut', phone: 'wren' } },
      { words: 'put out phone linnet', note: { kind: 'control', op: 'putOut', phone: 'linnet' } },
      { words: 'forget phone wren', note: { kind: 'control', op: 'putOut', phone: 'wren' } },
    ],
  },
];
