/** Stands in for `vitest` in a page: collects the tests, to be run one after another. */
import { JestAsymmetricMatchers, JestChaiExpect, JestExtend } from '@vitest/expect';
import * as chai from 'chai';

chai.use(JestExtend);
chai.use(JestChaiExpect);
chai.use(JestAsymmetricMatchers);

export const expect = chai.expect;
export const collected: { readonly name: string; readonly work: () => unknown }[] = [];

let within = '';

export function describe(name: string, define: () => void): void {
  const outer = within;
  within = `${outer}${name} `;
  define();
  within = outer;
}

export function test(name: string, work: () => unknown): void {
  collected.push({ name: `${within}${name}`, work });
}
