/** That a tree has no height, and why: "don't need a height", "can't see the top, leaves", "skip the height". Nothing is measured; it is noted. */
import { type Draft, everyPlace, type Scan } from './scan.ts';

const top = '(?:a |the |its |any |that )?(?:top|tops|tip|crown|leader)';
const height = '(?:a |the |its |any |this |that |for a |for the )?(?:height|heights|ht)';
const none = new RegExp(
  [
    `\\b(?:do|did|does|will|would|is|are) not (?:need|want|bother with|bothering with|do|take|get|require|worth) ${height}\\b`,
    `\\bno need (?:for|of) ${height}\\b`,
    `\\b(?:skip|skipping|skipped|leave off|leaving off|pass on|passing on) ${height}\\b`,
    `\\bno (?:height|ht)(?: (?:needed|possible|wanted|here|for (?:this|that|it)|on (?:this|that|it)))*(?: (?:one|tree))?$`,
    `\\b${height} (?:not possible|impossible|not needed|can not be (?:taken|measured|had|done))\\b`,
    `\\b(?:can not|could not|can never|did not|do not) (?:see|find|sight|spot|make out|get|get a sight of|get a look at|get a shot at|pick out) (?:(?:a |any )?(?:\\S+ )?(?:sight|view|look|shot) (?:of|at) )?${top}\\b`,
    `\\bnot worth ${height}\\b`,
    `\\b(?:hides|hiding|hid|blocks|blocking|covers) (?:the |its )?(?:top|tip|crown)\\b`,
    `\\btoo \\S+(?: \\S+)? to (?:see|find|sight|get) ${top}\\b`,
    `\\b(?:no|never a) (?:view|sight|sign) of ${top}\\b`,
    `\\b${top} (?:is |'s )?(?:hidden|not visible|out of sight|invisible|lost in)\\b`,
  ].join('|'),
);

/** A remark of the tree in hand in the speaker's own words. */
export function noHeightDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  if (scan.has('plot', 'person', 'restore', 'scratch')) return undefined;
  const text = scan.text();
  if (!none.test(text)) return undefined;
  return {
    notes: [{ kind: 'remark', text: text.replace(/^(?:but|and|so|ok|okay|well)\s+/, '') }],
    used: everyPlace(scan),
    against: 0,
  };
}
