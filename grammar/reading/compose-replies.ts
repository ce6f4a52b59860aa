/** How long replies are, in words that are typed: "keep it short", "you talk too much", "whole answers again". */
import type { Note } from '../../shared/note/note.ts';
import { type Draft, everyPlace, type Scan } from './scan.ts';

const answers = '(?:answers?|repl(?:y|ies)|responses?|version|read ?backs?)';
const them = `(?:it|them|that|things|(?:your |the |all )?${answers})`;
const bit = '(?:(?:a bit|a little|bit|much|way|far|nice and|real|really|very|more) )?';
const brief = '(?:short|shorter|brief|briefer|concise|terse|terser|to the point)';
const long = '(?:full|whole|long|longer|complete|detailed|fuller)';
const usual = '(?:normal|usual|regular)';

const said: readonly (readonly ['short' | 'full', readonly string[]])[] = [
  [
    'short',
    [
      `(?:keep|make|leave|give me|have|say) ${them} ${bit}${brief}(?: and sweet)?`,
      `(?:give me|use|i want|i would like|i need|can i have|let us have|let me have)? ?(?:the |your )?${bit}${brief} ${answers}`,
      `(?:be )?${bit}(?:shorter|briefer|terser|more concise)|be ${brief}`,
      `you (?:are )?(?:talk|talking|say|saying|speak|speaking|chatter|jabber|blab)(?: way| far| just)? (?:too much|a lot|too long|so much)`,
      `(?:do not|no need to|you need not|you do not (?:need|have) to) (?:talk|say|tell me|chatter) (?:so|that|too) much`,
      `(?:do not|no need to|you need not|you do not (?:need|have) to) (?:repeat|say|read back) (?:everything|it all|all of it|all that|the lot)(?: back)?`,
      `(?:talk|say|speak|chatter) ${bit}less`,
      `(?:less|fewer) (?:talk|talking|chatter|chat|words|yapping)`,
      `(?:use )?(?:less|fewer) words`,
      `(?:your |the )?${answers} (?:are|is) ${bit}too (?:long|wordy)`,
      `(?:you are |that is |it is )?(?:too|so) (?:wordy|chatty|long winded|talkative|many words|much talk)`,
      `(?:stop|quit|no more) (?:repeating|saying|reading back|explaining) (?:everything|it all|all of it|all that|so much)(?: back)?`,
      `too much (?:talk|talking|chatter|chat)`,
      `get to the point`,
      `(?:just|only)(?: (?:give|read|tell|say|want|need)(?: me| us| back)*)? (?:the |a )?(?:numbers?|figures?|results?)(?: only| back)*`,
      `(?:give|read|tell)(?: me| us| back)* (?:just|only) the (?:numbers?|figures?|results?)(?: back)?`,
      `(?:numbers?|figures?|results?) only`,
      `i (?:only|just) (?:want|need) (?:the )?(?:numbers?|figures?|results?)`,
      `(?:skip|leave out|leave off|drop|cut|spare me|never mind|forget) (?:all )?(?:the |that |your )?(?:rest(?: of it)?|talk|talking|chatter|chat|speech|explanations?|details?|advice|small talk|waffle)`,
      `(?:no|without|no need for)(?: all)? (?:the |any |your )?(?:talk|talking|chatter|chat|explanations?|details?|advice)`,
    ],
  ],
  [
    'full',
    [
      `(?:give me|use|i want|i would like|say|back to|go back to|return to)? ?(?:the |your )?(?:${long}|${usual}) ${answers}`,
      `(?:make|give me|have|say) ${them} (?:in full|${long})`,
      `(?:you can |you may )?(?:talk|say|tell me) ${bit}more`,
      `say (?:it all|everything|the whole thing|the lot|it in full)`,
      `(?:your |the )?${answers} (?:are|is) ${bit}too (?:short|brief|terse)`,
    ],
  ],
];

const lead =
  '(?:(?:ok|okay|so|well|right|please|just|now|hey|oh|and|but|can you|could you|would you|will you|try to|from now on|from here on|i think|for me) )*';
const tail =
  '(?: (?:please|now|from now on|from here on|again|thanks|thank you|mate|for me|today|here|will you|would you|ok|okay|in future|then|with me))*';
const patterns = said.map(([op, all]) => ({
  op,
  told: new RegExp(
    `^${lead}(?:${all.join('|')})(?:${tail},? ?(?:and )?${lead}(?:${all.join('|')}))*${tail}$`,
  ),
}));

export function repliesDraft(scan: Scan): Draft | undefined {
  if (scan.numbers.length > 0 || scan.asked) return undefined;
  const text = scan.text();
  const found = patterns.find(({ told }) => told.test(text));
  if (found === undefined) return undefined;
  const note: Note = { kind: 'control', op: found.op };
  return { notes: [note], used: everyPlace(scan), against: -0.3 };
}
