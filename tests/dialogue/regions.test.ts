/** Short names of trees mean what grows where the stand is: as somebody said, as its trees tell, else by the units. */
import { expect, test } from 'vitest';
import { converse } from '../support/conversation.ts';

test('who works in metres and says nothing else means the trees of Europe', async () => {
  const { session, say } = await converse();
  await say('metric');
  const names = ['beech', 'hornbeam', 'yew', 'ash', 'alder', 'sycamore', 'wild cherry', 'holly', 'walnut'];
  const codes: (number | null | undefined)[] = [];
  for (const name of names) {
    expect(await say(`${name} 30`), name).not.toMatch(/American|\?/);
    codes.push(session.book.lastTree?.species);
  }
  expect(codes).toEqual([90014, 90012, 90003, 90015, 90008, 90006, 90019, 90213, 90016]);
  expect(await say('black pine 28')).toBe('Tree 10, Austrian pine, 28 centimetres.');
  expect(await say('oak 41')).toMatch(/Which oak: English oak or sessile oak\?/);
  expect(await say('english')).toMatch(/^Tree 11, English oak/);
  expect(await say('oak 44')).toBe('Tree 12, English oak, 44 centimetres.');
});

test('who works in feet means the trees of North America', async () => {
  const { say } = await converse();
  expect(await say('beech 12')).toBe('Tree 1, American beech, 12 inches.');
  expect(await say('hornbeam 4')).toBe('Tree 2, American hornbeam, 4 inches.');
});

test('a name that only one continent has is that tree, whatever the units', async () => {
  const { say } = await converse();
  expect(await say('silver birch 9')).toBe('Tree 1, European white birch, 9 inches.');
  expect(await say('wych elm 14')).toBe('Tree 2, wych elm, 14 inches.');
  expect(await say('pedunculate oak 22')).toBe('Tree 3, English oak, 22 inches.');
  // By now the stand says where it is.
  expect(await say('beech 15')).toBe('Tree 4, European beech, 15 inches.');
});

test('the trees of a stand tell more than the units: a Canadian in metres', async () => {
  const { say } = await converse();
  await say('metric', 'sugar maple 31', 'red maple 22');
  expect(await say('beech 28')).toBe('Tree 3, American beech, 28 centimetres.');
  expect(await say('hemlock 38')).toBe('Tree 4, eastern hemlock, 38 centimetres.');
  expect(await say('larch 19')).toBe('Tree 5, tamarack, 19 centimetres.');
});

test('what is planted on both sides of the ocean tells nothing', async () => {
  const { say } = await converse();
  await say('metric', 'douglas fir 60', 'northern red oak 40', 'sitka spruce 31', 'black locust 20');
  expect(await say('larch 33')).toMatch(/European larch or Japanese larch/);
});

test('where one is can be said, and asked back with the settings', async () => {
  const { session, say } = await converse();
  expect(await say('region europe')).toBe('Short names mean the trees of Europe from here on.');
  expect(await say('beech 12')).toBe('Tree 1, European beech, 12 inches.');
  expect(await say('settings')).toMatch(/trees of Europe/);
  await say('region west');
  expect(await say('larch 14')).toBe('Tree 2, western larch, 14 inches.');
  expect(await say('undo that')).toMatch(/^Scratched: tree 2/);
  expect(await say('scratch that')).toMatch(/the trees of western North America/);
  expect(session.settings.region).toBe('europe');
});

test('"the beech" is any beech that stands there, whatever it was called by', async () => {
  const { say } = await converse();
  await say('european beech 12', 'red oak 14');
  expect(await say('the beech is 13')).toMatch(/^Tree 1.*European beech, 13 inches/);
  expect(await say('how many beech')).toMatch(/^1 tree/);
});

test('"sugar" alone is the maple where maples grow, and is asked about where nothing tells', async () => {
  const first = await converse();
  expect(await first.say('sugar 14')).toMatch(/Which sugar: .*sugar maple.*\?/);
  const { say } = await converse();
  await say('red maple 12');
  expect(await say('sugar 14')).toBe('Tree 2, sugar maple, 14 inches.');
});
