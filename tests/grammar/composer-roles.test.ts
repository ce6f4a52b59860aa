/** Who does what in a crew, in free words, and the end of a day with its time. Crew and sentences are invented. */
import { describe, expect, it } from 'vitest';
import { keptOf } from '../support/typed.ts';

const person = (name: string) => ({ kind: 'setting', set: { what: 'person', name } });
const remark = (text: string) => ({ kind: 'remark', text });

describe('who calls what is measured is who measures', () => {
  it.each([
    ['Rowan is calling, I write', [person('rowan'), remark('i write')]],
    ['Wren shoots today and I keep the notes', [person('wren'), remark('i keep the notes')]],
    ['Rowan reading, me writing', [person('rowan'), remark('me writing')]],
    ['Wren on diameters, Dena on heights', [person('dena'), remark('wren on diameters')]],
    ["I'm just scribing, Dena's measuring", [person('dena'), remark('i am just scribing')]],
    ['two of us today, Wren calling', [person('wren')]],
    ['swapping roles, Wren measures now', [person('wren')]],
    ['from here Rowan is measuring', [person('rowan')]],
    ['Dena calls it out and I write it down', [person('dena'), remark('i write it down')]],
  ])('%s', (words, notes) => {
    expect(keptOf(words)).toEqual(notes);
  });
});

describe('who only helps, or where who speaks measures, is a remark', () => {
  it.each([
    "Dena on the tape, I'll shoot",
    "Dena's got the tape, I'm on the clinometer",
    "I'm shooting, Josie tapes",
    'Wren on diameters, Dena on the tape',
    'Dena runs the prism, I record',
    'just me today',
    'Wren measures and Dena measures',
    "Dena's taping and I'm calling",
  ])('%s', (words) => {
    const [note, ...more] = keptOf(words) ?? [];
    expect([note?.kind, more]).toEqual(['remark', []]);
  });

  it.each(['Dena is a beech', 'Rowan 14 inches', "Dena isn't shooting today"])(
    '%s is none of it',
    (words) => {
      expect(keptOf(words)?.some(({ kind }) => kind === 'remark') ?? false).toBe(false);
    },
  );
});

describe('the end of a day with its time', () => {
  it.each([
    'knocking off at ten past four',
    'done for the day at 4:10',
    'quitting at half past three',
    'we wrapped up at 16:10',
    'packing it in, quarter to five',
    'calling it a day at five',
    'heading back to the truck, ten to four',
    "five o'clock, calling it quits",
    'end of shift 16:45',
    'calling it at 4:30',
    'that is us finished at quarter past three',
    'that will do for today, it is half four',
    'last tree done, knocking off, ten past four',
  ])('%s: a remark with the time, and what the day came to', (words) => {
    expect(keptOf(words)).toEqual([remark(words), { kind: 'ask', about: 'totals', scope: { day: 'today' } }]);
  });

  it('is asked about where the plot may be meant', () => {
    expect(keptOf('stopped at noon')).toBeUndefined();
    expect(keptOf('done at 4')).toBeUndefined();
    expect(keptOf('call it 12')?.some(({ kind }) => kind === 'remark') ?? false).toBe(false);
  });

  it('without a time is as before', () => {
    expect(keptOf('done for the day')).toEqual([{ kind: 'control', op: 'stop' }]);
  });
});
