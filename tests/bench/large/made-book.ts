/**
 * A made-up book of any size as a crew leaves it: three phones in one wood, a plot every ten trees, a height on every
 * third tree, now and then a correction, a scratch, a doubt with its answer, a setting; days of a thousand entries.
 */
import { seeded } from '../../../shared/core/random.ts';
import type { Act } from '../../../shared/note/acts.ts';
import { type DeviceId, deviceId, type Entry } from '../../../shared/note/journal.ts';
import type { Measurement, Note } from '../../../shared/note/note.ts';
import { idOf } from '../../support/entries.ts';

const start = Date.UTC(2026, 4, 4, 12);
const perDay = 1000;
const between = 25_000;
const people = ['robin', 'wren', 'jay'] as const;
const tenthAcre = { by: 'area', value: 0.1, unit: 'acre' } as const;
const species = [833, 316, 318, 531] as const;

interface Phone {
  readonly device: DeviceId;
  readonly person: string;
  seq: number;
  plots: number;
  trees: number;
  tree: string | null;
  plot: string | null;
  readonly told: Map<string, number>;
  /** What it says next. */
  readonly next: ((id: string) => Said)[];
}

type Said = Pick<Entry, 'words' | 'note' | 'acts'> & Partial<Pick<Entry, 'doubts' | 'settles' | 'asks'>>;

/** Time of entry number `at`, from 0. */
export const timeOf = (at: number): number =>
  start + Math.floor(at / perDay) * 86_400_000 + (at % perDay) * between;

const said = (words: string, note: Note, acts: Act[]): Said => ({ words, note, acts });

function settings(person: string, pace: number): ((id: string) => Said)[] {
  const set = (words: string, one: Extract<Act, { act: 'setting' }>['set'], note: Note) => () =>
    said(words, note, [{ act: 'setting', set: one }]);
  return [
    set(
      `this is ${person}`,
      { what: 'person', name: person },
      {
        kind: 'setting',
        set: { what: 'person', name: person },
      },
    ),
    set(
      'my pace is five point two feet',
      { what: 'pace', feet: pace },
      {
        kind: 'setting',
        set: { what: 'pace', length: { value: pace, unit: 'ft' } },
      },
    ),
    set(
      'eye height five foot four',
      { what: 'eye', feet: 5.33 },
      {
        kind: 'setting',
        set: { what: 'eye', length: { value: 5.33, unit: 'ft' } },
      },
    ),
  ];
}

function stand(id: string): Said {
  return said(
    'stand mill lot, forty acres',
    { kind: 'stand', name: 'mill lot', area: { value: 40, unit: 'acre' } },
    [{ act: 'stand', id, name: 'mill lot', acres: 40 }],
  );
}

/** Entries from number `from` (0 is the first of the book) on; each call with the same numbers gives the same. */
export function* madeBook(count: number, seed = 11): Generator<Entry> {
  const random = seeded(seed);
  const phones = people.map(
    (person, at): Phone => ({
      device: deviceId(`p-${person}`),
      person,
      seq: 0,
      plots: 0,
      trees: 0,
      tree: null,
      plot: null,
      told: new Map(),
      next: [...settings(person, 5 + at / 10), stand],
    }),
  );
  for (let at = 0; at < count; at++) {
    const phone = phones[at < 12 ? at % 3 : Math.floor(random() * 3)]!;
    const time = timeOf(at);
    const id = idOf(time, at);
    const step = phone.next.shift() ?? ((one: string) => nextOf(phone, one, random));
    const seen = Object.fromEntries(
      phones.flatMap(({ device, seq }) =>
        device !== phone.device && seq > (phone.told.get(device) ?? 0) && at % 40 < 3 ? [[device, seq]] : [],
      ),
    );
    for (const [device, seq] of Object.entries(seen)) phone.told.set(device, seq);
    const { words, note, acts, ...rest } = step(id);
    yield {
      id,
      device: phone.device,
      seq: ++phone.seq,
      time,
      zone: -240,
      words,
      note,
      grammar: '3f09c1d2',
      acts,
      ...rest,
      ...(acts[0]?.act === 'plot'
        ? {
            position: {
              latitude: 44.2 + random() / 100,
              longitude: -71.4 + random() / 100,
              accuracyMetres: 5,
            },
          }
        : {}),
      ...(Object.keys(seen).length > 0 ? { seen } : {}),
    };
  }
}

function nextOf(phone: Phone, id: string, random: () => number): Said {
  if (phone.plot === null || phone.trees >= 10) return plotOf(phone, id);
  const chance = random();
  if (phone.tree !== null && chance < 0.012)
    return said('scratch that', { kind: 'scratch' }, [{ act: 'retract', targets: [forget(phone)] }]);
  if (phone.tree !== null && chance < 0.024)
    return said(
      'make that sixteen inches',
      { kind: 'tree', facts: { diameter: { value: 16, unit: 'in' } } },
      [{ act: 'amend', target: phone.tree, fields: { diameterIn: 16 } }],
    );
  if (phone.tree !== null && chance < 0.03)
    return said('remark, fork at twenty feet', { kind: 'remark', text: 'fork at twenty feet' }, [
      { act: 'remark', text: 'fork at twenty feet', tree: phone.tree, plot: phone.plot },
    ]);
  return treeOf(phone, id, random);
}

function forget(phone: Phone): string {
  const tree = phone.tree!;
  phone.tree = null;
  phone.next.length = 0;
  return tree;
}

function plotOf(phone: Phone, id: string): Said {
  phone.trees = 0;
  phone.tree = null;
  const before = phone.plot;
  if (before !== null) {
    phone.plot = null;
    return said('close plot', { kind: 'plot', op: 'close' }, [
      { act: 'plotAmend', target: before, closed: true },
    ]);
  }
  phone.plot = id;
  const number = 3 * phone.plots++ + people.indexOf(phone.person as (typeof people)[number]) + 1;
  return said(`plot ${number}, tenth acre`, { kind: 'plot', op: 'open', number, size: tenthAcre }, [
    { act: 'plot', id, number, size: tenthAcre },
  ]);
}

function treeOf(phone: Phone, id: string, random: () => number): Said {
  const inches = Math.round((6 + 16 * random() ** 1.4) * 10) / 10;
  const of = species[Math.floor(random() ** 1.5 * species.length)]!;
  const logs = inches >= 16 ? 2 : inches >= 11 ? 1 : undefined;
  phone.tree = id;
  phone.trees++;
  if (random() < 0.34) phone.next.push((one) => heightOf(id, one, inches, random));
  return said(
    `red oak ${inches}${logs === undefined ? '' : `, ${logs} logs`}`,
    {
      kind: 'tree',
      facts: { species: of, diameter: { value: inches }, ...(logs === undefined ? {} : { logs }) },
    },
    [
      {
        act: 'tree',
        id,
        fields: { species: of, diameterIn: inches, ...(logs === undefined ? {} : { logs }) },
      },
    ],
  );
}

function heightOf(tree: string, id: string, inches: number, random: () => number): Said {
  const feet = 4.5 + 75 * (1 - Math.exp(-inches / 6)) * (0.9 + 0.2 * random());
  const measurement: Measurement =
    random() < 0.7
      ? {
          method: 'stick',
          distance: { by: 'paces', count: Math.max(1, Math.round(2 * ((feet - 5.3) / 5.2)) / 2) },
        }
      : { method: 'reading', device: 'laser', takes: [{ value: Math.round(feet) }] };
  const doubted = random() < 0.02;
  return {
    ...said('nine paces', { kind: 'height', height: measurement }, [
      { act: 'height', id, tree, measurement },
    ]),
    ...(doubted
      ? {
          doubts: [
            {
              code: 'curve',
              strength: 0.4,
              sentence: 'That is short for its diameter here.',
              slips: [
                {
                  slip: 'digit',
                  feet: Math.round(feet * 1.2),
                  posterior: 0.4,
                  note: { kind: 'height', height: measurement },
                },
              ],
            },
          ],
        }
      : {}),
  };
}
