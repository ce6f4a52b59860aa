/** How far off one stood, said right: "hang on, I was standing at ninety", "redo that height, I was at 60 not 50". */
import type { Note } from '../../shared/note/note.ts';
import { footingAt, standingWords } from './compose-footing.ts';
import { behindRedo } from './compose-redo.ts';
import { baseOnFoot } from './compose-sights.ts';
import { handOf, targetOf } from './compose-targets.ts';
import { type Draft, everyPlace, explain, plainLength, type Scan } from './scan.ts';

const before =
  /^(?:(?:no|nope|oops|sorry|wait|hang on|hold on|actually|correction|so|and|but|well|oh|ah|my mistake|make it|make that|that one|that was|that is|it was|it is|was|is|should be|should have been|the|that|my|i|we|really|only|just|meant|mean|said|to say|were|,) ?)*$/;
const stood =
  /(?:^| )(?:(?:i|we) (?:was|were|am|stood|shot|did|took|measured|paced|walked|taped)(?: (?:it|that|this|that one|standing|really|actually|only|just|back|out|off|sighting|from))*|was standing|stood(?: off| back)?|standing(?: off| back)?|(?:the |that |my )?(?:distance|dist|range|baseline|base line)(?: (?:was|is|should be|should have been|to the tree))*|(?:that|it) (?:is|was|should have been|should be)(?: (?:shot|taken|from|measured|sighted))*)(?: (?:at|from|out|to|about|back))*$/;
const behindIt =
  /^(?:away|out|back|off|from (?:it|the tree|the stem)|away from (?:it|the tree)|(?:for|on) (?:that|it|this)(?: one| time| shot)?|instead|really|actually|i mean|sorry|that time|to the tree|,|;| )*$/;

/** The distance of the last height, put right; undefined where nothing says that it is one. */
export function stoodDraft(whole: Scan): Draft | undefined {
  if (whole.asked || whole.species.length > 0) return undefined;
  const scan = behindRedo(whole) ?? whole;
  if (
    scan.has('ask', 'scratch', 'restore', 'plot', 'person', 'remark', 'eye', 'top', 'shadow', 'pole', 'log')
  )
    return undefined;
  const [at, other, ...more] = scan.numbers;
  if (at === undefined || more.length > 0 || !isFarOff(scan, at)) return undefined;
  const lead = scan.text(0, at).replaceAll(' ,', ',');
  const led = stood.exec(lead);
  if (led === null || !before.test(lead.slice(0, led.index).replaceAll(',', ' ').trim())) return undefined;
  const not = other === undefined ? undefined : /(?:^| )(?:not|instead of|rather than)(?: (?:at|from))?$/;
  if (not !== undefined && !not.test(scan.text(at + 1, other))) return undefined;
  const rest = [
    scan.text(at + 1, other).replace(not ?? /$^/, ''),
    other === undefined ? '' : scan.text(other + 1),
  ];
  if (!rest.every((text) => behindIt.test(text.trim()))) return undefined;
  // "It was 90 feet" alone may be how tall it is.
  const told = /\b(?:i|we|standing|stood|distance|dist|range|baseline|base line)\b/.test(led[0]);
  const away =
    /\b(?:away|out|back|off|from it|from the tree)\b/.test(rest[0]!) || /\b(?:from|at)$/.test(lead);
  if (!told && !away) return undefined;
  const past =
    scan.has('fix', 'no') ||
    other !== undefined ||
    whole !== scan ||
    /\b(?:was|were|stood|should|shot|did|took|measured)\b/.test(led[0]);
  return past ? { notes: [changeOf(scan, at, other)], used: everyPlace(whole), against: -0.3 } : undefined;
}

/** "I stood a metre above the root", "eyes two feet lower, I was kneeling": of the height that was told. */
export function footDraft(scan: Scan): Draft | undefined {
  const [at, ...more] = scan.numbers;
  if (scan.asked || at === undefined || more.length > 0) return undefined;
  if (scan.has('ask', 'scratch', 'restore', 'plot', 'person', 'remark', 'not')) return undefined;
  const target = targetOf(scan);
  if (scan.species.some((one) => target?.used.includes(one) !== true)) return undefined;
  const foot = footingAt(scan.pieces, at) === undefined ? undefined : baseOnFoot(scan);
  if (foot === undefined) return undefined;
  const change: Note = { kind: 'change', base: foot.base };
  return {
    notes: target === undefined ? [change] : [handOf(target), change],
    used: explain(
      scan,
      [...foot.at, ...(target?.used ?? []), ...standingWords(scan.pieces, true)],
      ['fix', 'no', 'that', 'again', 'one', 'base'],
    ),
    against: -0.1,
  };
}

function isFarOff(scan: Scan, at: number): boolean {
  const { unit, sign, value } = scan.number(at);
  return sign === undefined && value >= 3 && /^(?:ft|m|yd|chain|paces|steps|undefined)$/.test(String(unit));
}

function changeOf(scan: Scan, at: number, other: number | undefined): Note {
  const said = scan.number(at);
  const was = other === undefined ? {} : { was: scan.number(other).value };
  const length = plainLength(said);
  if (said.unit === 'paces' || said.unit === 'steps')
    return { kind: 'change', ...was, distance: { by: said.unit, count: said.value } };
  const { value, unit } = length;
  return {
    kind: 'change',
    ...was,
    measured: { of: 'distance', value, ...(unit === undefined ? {} : { unit }) },
  };
}
