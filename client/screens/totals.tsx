/** Totals: the usual questions answered at once, for the whole book or a part of it, each with its error and sources. */

import { useMemo, useState } from 'preact/hooks';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { centimetresPerInch, hectaresPerAcre, metresPerFoot } from '../../shared/core/units.ts';
import { askBook } from '../../shared/dialogue/ask-book.ts';
import { type LogRule, logRuleKeys, logRules, usualLogRule } from '../../shared/note/log-rules.ts';
import type { NoteOf, Scope } from '../../shared/note/note.ts';
import type { QuestionTopic } from '../../shared/note/question-topics.ts';
import * as wording from '../../shared/wording/wording.ts';
import { SpeciesChoice, speciesIn } from './controls.tsx';
import { usePage } from './page.tsx';
import { Figure } from './parts.tsx';

const asked: readonly (readonly [QuestionTopic, string])[] = [
  ['trees', 'Trees'],
  ['plots', 'Plots'],
  ['basalArea', 'Basal area'],
  ['density', 'Trees to the area'],
  ['meanHeight', 'Mean height'],
  ['lorey', 'Mean height by basal area'],
  ['quadraticDiameter', 'Quadratic mean diameter'],
  ['volumePerAcre', 'Sawlog volume to the area'],
  ['volume', 'Sawlog volume, whole stand'],
  ['biomass', 'Biomass'],
  ['carbon', 'Carbon'],
  ['tallest', 'Tallest'],
  ['thickest', 'Thickest'],
];

export function TotalsScreen() {
  const { conversation } = usePage();
  const { book, session } = conversation;
  const [species, setSpecies] = useState('');
  const [part, setPart] = useState('');
  const [rule, setRule] = useState<LogRule>(conversation.settings.logRule ?? usualLogRule);
  const [percent, setPercent] = useState(15);
  const present = useMemo(() => speciesIn(conversation.book.trees()), [conversation.version]);
  const scope: Scope = {
    ...(species === '' ? {} : { species: Number(species) }),
    ...(part === '' ? {} : part === 'this' ? { plot: 'this' as const } : { plot: Number(part) }),
  };
  const narrowed = species !== '' || part !== '';
  const ask = (about: QuestionTopic): NoteOf<'ask'> => ({
    kind: 'ask',
    about,
    ...(narrowed ? { scope } : {}),
    ...(about === 'volume' || about === 'volumePerAcre' ? { rule } : {}),
    ...(about === 'plotsNeeded' ? { percent } : {}),
  });
  const plots = [...book.plots()];
  // Where there are several stands, questions are about the one in hand.
  const stand = book.stands.size > 1 ? book.standOf(conversation.device) : null;
  const whole = stand === null ? 'whole book' : `all of ${wording.placeName(stand.name)}`;
  const answers = asked.map(([about, name]) => ({ about, name, ...told(askBook(session, ask(about))) }));
  const leftOut = [...new Set(answers.flatMap((one) => one.leftOut))];
  return (
    <div class="screen">
      <h1>Totals</h1>
      <p class="choices">
        <SpeciesChoice value={species} onPick={setSpecies} />
        <label>
          Part
          <select value={part} onChange={(event) => setPart(event.currentTarget.value)}>
            <option value="">{whole}</option>
            {plots.map((plot) => (
              <option key={plot.id} value={String(plot.number)}>
                plot {plot.number}
              </option>
            ))}
          </select>
        </label>
        <label class="roomy">
          Log rule
          <select value={rule} onChange={(event) => setRule(event.currentTarget.value as LogRule)}>
            {logRuleKeys.map((one) => (
              <option key={one} value={one}>
                {logRules[one].name}
              </option>
            ))}
          </select>
        </label>
      </p>
      <dl class="figures">
        {answers.map(({ about, name, reply, detail }) => (
          <Total key={about} name={name} reply={reply} detail={detail} />
        ))}
        <div class="figure">
          <dt>Plots still needed</dt>
          <dd>
            <label class="for">
              <span class="unseen">Plots still needed </span>for
              <select
                value={String(percent)}
                onChange={(event) => setPercent(Number(event.currentTarget.value))}
              >
                {[5, 10, 15, 20].map((one) => (
                  <option key={one} value={String(one)}>
                    {one} percent
                  </option>
                ))}
              </select>
            </label>
            <Figure reply={askBook(session, ask('plotsNeeded')).reply} />
          </dd>
        </div>
      </dl>
      {leftOut.length > 0 && (
        <section>
          <h2>Left out above</h2>
          {leftOut.map((sentence) => (
            <p key={sentence} class="fact">
              {sentence}
            </p>
          ))}
        </section>
      )}
      <BySpecies codes={present} />
      <p class="caution">
        Volumes, biomass and carbon are estimates from tables and equations: not a scale, not an appraisal.
      </p>
    </div>
  );
}

interface Answer {
  readonly reply: string;
  readonly detail: string | null;
}

/** An answer without its sentences of what was left out: those are told once, for all answers. */
function told({ reply, detail }: Answer): Answer & { readonly leftOut: readonly string[] } {
  const parted = (text: string) => {
    const sentences = text.split(/(?<=[.?!])\s+/);
    const out = sentences.filter((sentence) => /\bleft out\.$/.test(sentence));
    return { kept: sentences.filter((sentence) => !out.includes(sentence)).join(' '), out };
  };
  const said = parted(reply);
  const lines = (detail ?? '').split('\n').map(parted);
  const rest = lines.map(({ kept }) => kept).filter((line) => line !== '');
  return {
    reply: said.kept,
    detail: rest.length > 0 ? rest.join('\n') : null,
    leftOut: [...said.out, ...lines.flatMap(({ out }) => out)],
  };
}

function Total({
  name,
  reply,
  detail,
}: {
  readonly name: string;
  readonly reply: string;
  readonly detail: string | null;
}) {
  return (
    <div class="figure">
      <dt>{name}</dt>
      <dd>
        <Figure reply={reply} />
        {detail && (
          <details>
            <summary>
              Sources<span class="unseen"> of: {name}</span>
            </summary>
            {detail.split('\n').map((line) => (
              <p key={line}>{line}</p>
            ))}
          </details>
        )}
      </dd>
    </div>
  );
}

function BySpecies({ codes }: { readonly codes: readonly number[] }) {
  const { conversation } = usePage();
  const totals = totalsOf(conversation.book);
  if (codes.length === 0) return null;
  const metric = conversation.settings.units === 'metres';
  const show = (value: number | null, decimals: number, per = 1) =>
    value === null
      ? ''
      : (value * per).toLocaleString('en-US', {
          minimumFractionDigits: decimals,
          maximumFractionDigits: decimals,
        });
  const perInch = metric ? centimetresPerInch : 1;
  const perFoot = metric ? metresPerFoot : 1;
  const perArea = metric ? metresPerFoot ** 2 / hectaresPerAcre : 1;
  return (
    <section>
      <h2>By species</h2>
      <p class="sum">Means of the trees told: quadratic of the diameters, plain of the heights.</p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key. */}
      <section class="wide" tabIndex={0} aria-label="Table by species">
        <table>
          <thead>
            <tr>
              <th scope="col">species</th>
              <th scope="col">trees</th>
              <th scope="col">dbh, {metric ? 'cm' : 'in'}</th>
              <th scope="col">height, {metric ? 'm' : 'ft'}</th>
              <th scope="col">{metric ? 'm² a hectare' : 'ft² an acre'}</th>
            </tr>
          </thead>
          <tbody>
            {codes.map((species) => (
              <tr key={species}>
                <th scope="row">{wording.speciesName(species)}</th>
                <td>{show(totals.trees({ species }).value, 0)}</td>
                <td>{show(totals.quadraticDiameter({ species }).value, 1, perInch)}</td>
                <td>{show(totals.meanHeight({ species }).value, 1, perFoot)}</td>
                <td>{show(totals.basalArea({ species }).value, 1, perArea)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  );
}
