/** How far off one stood, said right: "hang on, I was standing at ninety", "redo that height, I was at 60 not 50". */
import type { Note } from '../../shared/note/note.ts';
import { behindRedo } from './compose-redo.ts';
import { type Draft, everyPlace, plainLength, type Scan } from './scan.ts';

const before =
  /^(?:(?:no|nope|oops|sorry|wait|hang on|hold on|actually|correction|so|and|but|well|oh|ah|my mistake|make it|make that|that one|that was|that is|it was|it is|was|is|should be|should have been|the|that|my|i|we|really|only|just|meant|mean|said|to say|were|,) ?)*$/;
const stood =
  /(?:^| )(?:(?:i|we) (?:was|were|am|stood|shot|did|took|measured|paced|walked|taped)(?: (?:it|that|this|that one|standing|really|actually|only|just|back|out|off|sighting|from))*|was standing|stood(?: off| back)?|standing(?: off| back)?|(?:the |that |my )?(?:distance|dist|range|baseline|base line)(?: (?:was|is|should be|should have been|to the tree))*|(?:that|it) (?:was|should have been|should be)(?: (?:shot|taken|from|measured|sighted))*)(?: (?:at|from|out|to|about|back))*$/;
const behindIt =
  /^(?:away|out|back|off|from (?:it|the tree|the stem)|away from (?:it|the tree)|for that(?: one)?|for (?:it|this one)|instead|really|actually|i mean|sorry|that time|to the tree|,|;| )*$/;

/** The distance of the last height, put right; undefined where nothing says that it is one. */
export function stoodDraft(whole: Scan): Draft | undefined {
  if (whole.asked || whole.species.length > 0) return undefined;
  const scan = behindRedo(whole) ?? whole;
  if (scan.has('ask', 'scratch', 'restore', 'plot', 'person', 'remark', 'eye', 'top', 'shadow', 'pole', 'log'))
    return undefined;
  const [at, other, ...more] = scan.numbers;
  if (at === undefined || more.length > 0 || !isFarOff(scan, at)) return undefined;
  const lead = scan.text(0, at).replaceAll(' ,', ',');
  const led = stood.exec(lead);
  if (led === null || !before.test(lead.slice(0, led.index).replaceAll(',', ' ').trim())) return undefined;
  const not = other === undefined ? undefined : /(?:^| )(?:not|instead of|rather than)(?: (?:at|from))?$/;
  if (not !== undefined && !not.test(scan.text(at + 1, other))) return undefined;
  const rest = [scan.text(at + 1, other).replace(not ?? /$^/, ''), other === undefined ? '' : scan.text(other + 1)];
  if (!rest.every((text) => behindIt.test(text.trim()))) return undefined;
  // "It was 90 feet" alone may be how tall it is.
  const told = /\b(?:i|we|standing|stood|distance|dist|range|baseline|base line)\b/.test(led[0]);
  const away = /\b(?:away|out|back|off|from it|from the tree)\b/.test(rest[0]!) || /\b(?:from|at)$/.test(lead);
  if (!told && !away) return undefined;
  const past = scan.has('fix', 'no') || other !== undefined || whole !== scan || /\b(?:was|were|stood|should|shot|did|took|measured)\b/.test(led[0]);
  return past ? { notes: [changeOf(scan, at, other)], used: everyPlace(whole), against: -0.3 } : undefined;
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
  return { kind: 'change', ...was, measured: { of: 'distance', value, ...(unit === undefined ? {} : { unit }) } };
}
