/** The line of settings: what is in force at any point of it equals folding all acts before it anew. */

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { firstSettings, type Settings, withSetting } from '../../shared/book/settings.ts';
import { SettingsLine } from '../../shared/book/settings-line.ts';
import { type DeviceId, deviceId } from '../../shared/note/journal.ts';
import type { SettingAct } from '../../shared/note/settings.ts';

const one = deviceId('d-one');
const two = deviceId('d-two');
const three = deviceId('d-three');
const devices = [one, two, three];

interface Said {
  readonly device: DeviceId;
  readonly set: SettingAct;
}

const act: fc.Arbitrary<SettingAct> = fc.oneof(
  fc.record({ what: fc.constant('pace' as const), feet: fc.constantFrom(4.9, 5.2, 5.6) }),
  fc.record({ what: fc.constant('eye' as const), feet: fc.constantFrom(5, 5.4) }),
  fc.record({
    what: fc.constant('units' as const),
    units: fc.constantFrom('feet' as const, 'metres' as const),
  }),
  fc.record({ what: fc.constant('person' as const), name: fc.constantFrom('linnet', 'robin', 'wren') }),
  fc.record({
    what: fc.constant('walk' as const),
    count: fc.integer({ min: 10, max: 40 }),
    of: fc.constantFrom('paces' as const, 'steps' as const),
    feet: fc.integer({ min: 50, max: 200 }),
  }),
  fc.record({ what: fc.constant('ground' as const), shorter: fc.constantFrom(0, 5, 10) }),
  fc.record({
    what: fc.constant('counting' as const),
    of: fc.constantFrom('paces' as const, 'steps' as const),
  }),
  fc.record({
    what: fc.constant('deviation' as const),
    error: fc.constantFrom('eyeFeet' as const, 'walkPart' as const),
    value: fc.constantFrom(0.1, 0.2),
  }),
  fc.record({
    what: fc.constant('scatter' as const),
    device: fc.constantFrom('laser' as const, 'tape' as const),
    feet: fc.constantFrom(1, 2),
  }),
  fc.record({ what: fc.constant('attention' as const), word: fc.constantFrom('notebook', 'none') }),
  fc.record({
    what: fc.constant('nickname' as const),
    nickname: fc.constantFrom('fir', 'cedar'),
    species: fc.constantFrom(12, 202),
  }),
  fc.record(
    {
      what: fc.constant('voice' as const),
      quiet: fc.boolean(),
      rate: fc.constantFrom(0.8, 1.2),
    },
    { requiredKeys: ['what'] },
  ),
  fc.record({
    what: fc.constant('logRule' as const),
    rule: fc.constantFrom('doyle' as const, 'scribner' as const),
  }),
);
const acts = fc.array(fc.record({ device: fc.constantFrom(...devices), set: act }), { maxLength: 24 });

function lineOf(all: readonly Said[]): SettingsLine {
  const line = new SettingsLine();
  for (const [i, { device, set }] of all.entries()) line.add(`e${i}`, device, set);
  return line;
}

/** What holds for the whole book whoever says it; everything else is the speaker's own (units until they say any). */
const common = new Set<SettingAct['what']>([
  'logRule',
  'scatter',
  'formClass',
  'edge',
  'slopeMethod',
  'nickname',
]);

/** The rule in its plainest form: who speaks here now, then every act that is theirs or everybody's, from the start. */
function plainly(all: readonly Said[], device: DeviceId): Settings {
  const naming = all.findLast((said) => said.device === device && said.set.what === 'person')?.set;
  const me = naming?.what === 'person' ? naming.name : null;
  const people: Record<string, string> = {};
  let settings = firstSettings;
  for (const said of all) {
    const who = people[said.device];
    if (said.set.what === 'person') people[said.device] = said.set.name;
    const mine = said.set.what === 'person' || who === undefined ? said.device === device : who === me;
    if (mine || common.has(said.set.what)) settings = withSetting(settings, said.set);
    else if (said.set.what === 'units' && !settings.unitsSaid)
      settings = { ...settings, units: said.set.units };
  }
  return settings;
}

describe('settings in force', () => {
  test('now and at every earlier point are those of all acts before it', () => {
    fc.assert(
      fc.property(acts, (all) => {
        const line = lineOf(all);
        for (const device of devices) {
          expect(line.of(device)).toEqual(plainly(all, device));
          for (let point = 0; point <= all.length; point++) {
            const then = plainly(all.slice(0, point), device);
            const later = all.map((_, i) => plainly(all.slice(0, i + 1), device)).slice(point);
            // The first pace and eye that became known serve what was measured before, with the walks they come from and
            // how these were counted.
            const paced = [then, ...later].find((one) => one.pace) ?? then;
            const eyed = [then, ...later].find((one) => one.eye) ?? then;
            const { pace, walks, statedPaceFt } = paced;
            const { counting } = then.countingSaid || pace === null ? then : paced;
            const known = { ...then, pace, walks, statedPaceFt, counting, eye: eyed.eye };
            expect(line.at(device, point)).toEqual(known);
          }
        }
      }),
      { numRuns: 60 },
    );
  });

  test('do not depend on when they were asked for', () => {
    fc.assert(
      fc.property(acts, (all) => {
        const asked = new SettingsLine();
        for (const [i, { device, set }] of all.entries()) {
          asked.add(`e${i}`, device, set);
          for (const each of devices) asked.of(each);
        }
        const line = lineOf(all);
        for (const device of devices) expect(asked.of(device)).toEqual(line.of(device));
      }),
    );
  });

  test('without what was taken back are as if it had never been said', () => {
    fc.assert(
      fc.property(acts, fc.array(fc.nat(23), { maxLength: 4 }), (all, back) => {
        const line = lineOf(all);
        for (const device of devices) line.of(device);
        for (const i of back) line.retract(`e${i}`);
        const left = all.filter((_, i) => !back.includes(i));
        expect(line.now).toEqual(lineOf(left).now);
        for (const device of devices) {
          expect(line.of(device)).toEqual(plainly(left, device));
          for (const other of devices)
            expect(line.sameSpeaker(device, other)).toBe(lineOf(left).sameSpeaker(device, other));
        }
      }),
    );
  });

  test('of somebody who goes on with another device come along; nobody measures with the pace of another', () => {
    const line = lineOf([
      { device: one, set: { what: 'person', name: 'linnet' } },
      { device: one, set: { what: 'pace', feet: 5.2 } },
      { device: two, set: { what: 'pace', feet: 4.8 } },
      { device: two, set: { what: 'person', name: 'robin' } },
    ]);
    // What was said before anybody was named there serves who speaks there.
    expect(line.of(two).pace?.feet).toBe(4.8);
    line.add('e9', two, { what: 'person', name: 'linnet' });
    // Both are linnet's now; the later one holds.
    expect(line.of(two).pace?.feet).toBe(4.8);
    expect(line.at(two, 4).pace?.feet).toBe(4.8);
    expect(line.of(one).pace?.feet).toBe(5.2);
    expect(line.of(three).pace).toBeNull();
  });
});
