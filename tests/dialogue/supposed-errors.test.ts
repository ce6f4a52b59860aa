/** Errors that are supposed: told with a height, set by voice, common to a mean. Numbers by hand from the notes. */
import { describe, expect, it } from 'vitest';
import { converse } from '../support/conversation.ts';

const base = ['my pace is five feet', 'eye height five feet'] as const;

describe('a supposed error', () => {
  it('is told with its source where a height is asked why', async () => {
    const { tell, say } = await converse();
    await say(...base, 'thirteen paces');
    const { detail } = await tell('why');
    expect(detail).toContain(
      'Supposed error of the angle of a stick as long as the reach, 1 degree (common practice, no source).',
    );
    expect(detail).toMatch(/paces on rough ground, 4\.5 percent \(.*2\.5 to 7\.0 percent/);
    // What this height does not use is not told, nor what only a better way would.
    expect(detail).not.toMatch(/shadow|sighted angle|taped/);
  });

  it('is set by voice and holds from then on: 2 degrees of a stick at 60 feet are 4.2 feet', async () => {
    const { tell, say } = await converse();
    await say(...base);
    const before = (await tell('stick spans, taped sixty feet')).answer.height!.sdFeet;
    const { answer } = await tell('assume stick angle two degrees');
    expect(answer.reply).toBe('The angle of a stick as long as the reach, 2 degrees, from now on.');
    const after = await tell('stick spans, taped sixty feet');
    // 2 x 60 ft x 2 degrees in radians = 4.19; the tape adds 0.39.
    expect(after.answer.height!.sdFeet).toBeCloseTo(Math.hypot(4.189, 0.391), 1);
    expect(after.answer.height!.sdFeet).toBeGreaterThan(1.8 * before);
    expect((await tell('why')).detail).toContain('2 degrees (as set)');
  });

  it('is refused in another unit than its own, and far from what is usual', async () => {
    const { tell } = await converse();
    expect((await tell('assume sight two percent')).answer).toMatchObject({
      state: 'refused',
      reply: 'Expected a sighted angle in degrees; found percent.',
    });
    expect((await tell('assume sight forty degrees')).answer.state).toBe('refused');
  });
});
