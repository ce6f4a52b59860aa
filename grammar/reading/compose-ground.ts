/** What is told of the ground and of how close the trees stand: kept as it was said, beside plots and settings. */
import type { Note } from '../../shared/note/note.ts';
import { type Draft, everyPlace, type Scan } from './scan.ts';

const point = '(?:north|south|east|west)';
const compass = `(?:due )?(?:${point}(?:[ -]?${point})*|northeast|northwest|southeast|southwest|northerly|southerly|easterly|westerly|ne|nw|se|sw|nne|ene|ese|sse|ssw|wsw|wnw|nnw|[nesw])`;
const small =
  '(?:it is|it|and|so|ground|the ground|slope|the slope|is|all|mostly|about|roughly|just|a|an|with|here|this one|plot|the plot)';
/** "Northeast aspect", "facing south west", "aspect is north". */
const facing = new RegExp(
  `^(?:${small} )*(?:${compass} (?:aspect|exposure|facing|face|side|slope)|(?:aspect|exposure)(?: is| of|:)? ${compass}|(?:facing|faces|looks|looking|aspect to(?: the)?|slopes|sloping|falls|falling)(?: down| off| away)?(?: to)?(?: the)? ${compass})(?: here| on this one)?$`,
);

/** Which way the ground faces: a remark of the plot. */
export function aspectDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  if (!facing.test(scan.text())) return undefined;
  const remark: Note = { kind: 'remark', text: scan.text() };
  return { notes: [remark], used: everyPlace(scan), against: 0 };
}

const how =
  '(?:thick|thicker|dense|denser|tight|tighter|thin|thinner|open|sparse|sparser|crowded|brushy|patchy|heavy|light|jungly|stocked|scattered)';
const close = new RegExp(
  `^(?:(?:because|cos|since|as|and|now) )*(?:it|they|trees|stand|this|things|stuff|wood|the trees|the stand|the wood|this stand|this wood)(?: is| are| has| have|'s)?(?: (?:getting|got|gets|get|too|pretty|very|really|so|quite|awful|awfully|all|a|bit|lot|just|well|more|much|fairly|rather|here|in|there))* ${how}(?: (?:in|here|there|now|again|through|down|up|below|above|enough|this|bit|end|side))*$`,
);

/** "It's getting thick": how close the trees stand, and no diameter. */
export function closeDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  if (!close.test(scan.text())) return undefined;
  const remark: Note = { kind: 'remark', text: scan.text().replaceAll(" '", "'") };
  // By itself it may be told of the tree in hand.
  return {
    notes: [remark],
    used: everyPlace(scan),
    against: 0.2,
    unsure: /^(?:it|this) (?:is )?(?:thick|thin|open|light|heavy)$/.test(scan.text()),
  };
}
