/** Where the trees grow, in words that are typed: "we're in Germany", "use the European names", "eastern trees". */
import type { Note } from '../../shared/note/note.ts';
import type { Region } from '../../shared/note/species-regions.ts';
import { type Draft, everyPlace, type Scan } from './scan.ts';

const lands: Readonly<Record<Region, string>> = {
  europe:
    'europe|the uk|uk|britain|great britain|england|scotland|wales|ireland|germany|france|austria|switzerland|italy|spain|portugal|poland|czechia|slovakia|hungary|romania|bulgaria|greece|serbia|croatia|slovenia|denmark|norway|sweden|finland|estonia|latvia|lithuania|belgium|holland|the netherlands|luxembourg|ukraine',
  america: 'america|north america|the states|the us|us|the usa|usa|canada',
  east: 'the east|the eastern states|eastern america|eastern north america|new england|the south east|the southeast|the north east|the northeast|the midwest|the appalachians',
  west: 'the west|the western states|western america|western north america|the pacific northwest|the northwest|the west coast|the rockies',
};
const kinds: Readonly<Record<Region, string>> = {
  europe: 'european|british|english',
  america: 'american|north american',
  east: 'eastern',
  west: 'western',
};

const being =
  '(?:i|we) (?:am|are)(?: now| over| working| out| based)* in|(?:it|this|the stand|the wood) is in|here is';
const naming = '(?:(?:use|take|give me|assume|expect|mean) )?(?:the )?';
const patterns = (Object.keys(lands) as Region[]).map((region) => ({
  region,
  told: new RegExp(
    `^(?:(?:ok|okay|so|right|well) )?(?:(?:(?:${being}|region(?: is|:)?|set (?:the )?region to) (?:${lands[region]})(?: now| here| today)?)|(?:${naming}(?:${kinds[region]}) (?:trees|species|names|names of trees|tree names)(?: please| here)?))$`,
  ),
}));

export function regionDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.numbers.length > 0) return undefined;
  const text = scan.text().replace(/^(?:hi|hello|morning) /, '');
  const found = patterns.find(({ told }) => told.test(text));
  if (found === undefined) return undefined;
  const set: Note = { kind: 'setting', set: { what: 'region', region: found.region } };
  return { notes: [set], used: everyPlace(scan), against: -0.3 };
}
