/**
 * Talk of people in a wood that is none of the tool's business: made-up sentences, numbers among them. Common practice,
 * no source.
 */
import { seeded } from '../../../shared/core/random.ts';

const parts: Readonly<Record<string, readonly string[]>> = {
  who: [
    'my brother',
    'she',
    'he',
    'the neighbour',
    'the forester',
    'the dog',
    'our boss',
    'the man from the mill',
    'grandfather',
    'everybody',
  ],
  did: ['said', 'told me', 'thinks', 'was sure', 'never believed', 'keeps saying', 'wrote down', 'forgot'],
  that: [
    'the bridge was closed',
    'it would rain by noon',
    'the price went up again',
    'we were too late',
    'the road is washed out',
    'the truck needs oil',
    'there were ticks everywhere',
    'the map is wrong',
    'nobody came last week',
    'the saw would not start',
  ],
  number: [
    'two',
    'three',
    'four',
    'five',
    'seven',
    'eight',
    'ten',
    'twelve',
    'fifteen',
    'twenty',
    'thirty',
    'forty',
    'fifty',
    'eighty',
  ],
  thing: [
    'dollars',
    'minutes',
    'miles',
    'people',
    'sandwiches',
    'hours',
    'gallons',
    'years',
    'calls',
    'trips',
    'days',
    'bags',
  ],
  place: [
    'the creek',
    'the parking lot',
    'the old barn',
    'town',
    'the north gate',
    'the landing',
    'the car',
    'the store',
  ],
  time: [
    'this morning',
    'last winter',
    'on Thursday',
    'before lunch',
    'every time',
    'next month',
    'in the evening',
    'right now',
  ],
  want: [
    'can you hand me',
    'did you see',
    'where did you put',
    'have you got',
    'do not step on',
    'watch out for',
    'who left',
    'let me have',
  ],
  object: [
    'the thermos',
    'my gloves',
    'that branch',
    'the blue flagging',
    'the first aid kit',
    'a pencil',
    'the radio',
    'your hat',
    'the other battery',
    'those cookies',
  ],
};

const ways = [
  '<who> <did> <that>',
  '<who> <did> <that> <time>',
  'it cost me <number> <thing> <time>',
  'we walked <number> miles to <place> <time>',
  '<want> <object>',
  '<want> <object> over there',
  'i was at <place> <time>',
  'that took <number> <thing> and then <who> <did> <that>',
  'no i do not think so',
  'yes but <who> <did> <that>',
  'how was your weekend',
  'what time is it',
  'i will call you back in <number> minutes',
  'there are <number> <thing> left in <place>',
  'well <that> anyway',
  'are you hungry yet',
  'let us go back to <place>',
  'look at that over by <place>',
  'we should have been at <place> <number> <thing> ago',
  'do you remember when <that>',
];

/** Made-up talk, `count` sentences, each once. */
export function drawTalk(count: number, seed: number): string[] {
  const random = seeded(seed);
  const pick = (list: readonly string[]) => list[Math.floor(random() * list.length)]!;
  const said = new Set<string>();
  for (let tries = 0; said.size < count && tries < 50 * count; tries++)
    said.add(pick(ways).replace(/<(\w+)>/g, (_, part: string) => pick(parts[part]!)));
  return [...said];
}
