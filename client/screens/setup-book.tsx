/** What belongs to the book: pace, eye and units of who speaks, scatter of devices, people, names of species. */
import { useState } from 'preact/hooks';
import type { LengthUnit } from '../../shared/core/units.ts';
import {
  asSaid,
  type DeviationName,
  deviationNames,
  deviations,
  sourceOf,
  usualDeviations,
} from '../../shared/note/deviations.ts';
import { type LogRule, logRuleKeys, logRules, usualLogRule } from '../../shared/note/log-rules.ts';
import type { NoteOf } from '../../shared/note/note.ts';
import { species, spokenName } from '../../shared/note/species.ts';
import * as wording from '../../shared/wording/wording.ts';
import { ChoiceControl, NumberForm } from './controls.tsx';
import { usePage } from './page.tsx';
import { AnswerText, useTelling } from './parts.tsx';

type Set = NoteOf<'setting'>['set'];

export function Pace() {
  const { conversation } = usePage();
  const now = conversation.settings;
  const { answer, tell } = useTelling();
  const set = (what: Set) => void tell({ kind: 'setting', set: what });
  const unit: LengthUnit = now.units === 'metres' ? 'm' : 'ft';
  const unitName = now.units === 'metres' ? 'metres' : 'feet';
  return (
    <section>
      <h2>Pace and eye</h2>
      <AnswerText text={answer} />
      <p class="fact">
        {now.pace
          ? `Pace ${wording.paceLength(now.pace.feet, now.units)}, give or take ${wording.paceLength(now.pace.sdFeet, now.units)}, from ${
              now.walks.length === 0 ? 'what you said' : `${now.walks.length} walks`
            }.`
          : 'No pace yet. Walk a known distance at your usual stride and count.'}{' '}
        {now.eye ? `Eye height ${wording.eyeHeight(now.eye.feet, now.units)}.` : 'No eye height yet.'}
      </p>
      <NumberForm
        fields={{
          count: {
            label: now.counting === 'steps' ? 'Single steps' : 'Paces (two steps each)',
            emptied: true,
          },
          over: { label: `over so many ${unitName}` },
        }}
        button="Add this walk"
        onNumbers={({ count, over }) =>
          set({ what: 'walk', count, of: now.counting, length: { value: over, unit } })
        }
      />
      <NumberForm
        fields={{ eye: { label: `Eye height, ${unitName}` } }}
        onNumbers={({ eye }) => set({ what: 'eye', length: { value: eye, unit } })}
      />
      <ChoiceControl
        legend="I count"
        value={now.counting}
        options={[
          ['paces', 'paces'],
          ['steps', 'single steps'],
        ]}
        onPick={(of) => set({ what: 'counting', of })}
      />
      <ChoiceControl
        legend="Brush or slope makes my paces shorter by"
        value={String(now.groundShorter)}
        options={[
          ['0', 'nothing'],
          ['5', '5 %'],
          ['10', '10 %'],
          ['15', '15 %'],
        ]}
        onPick={(shorter) => set({ what: 'ground', shorter: Number(shorter) })}
      />
    </section>
  );
}

export function UnitsSetup() {
  const { conversation } = usePage();
  const now = conversation.settings;
  const { answer, tell } = useTelling();
  const set = (what: Set) => void tell({ kind: 'setting', set: what });
  return (
    <section>
      <h2>Units and log rule</h2>
      <ChoiceControl
        legend="Units"
        value={now.units}
        options={[
          ['feet', 'feet and inches'],
          ['metres', 'metres'],
        ]}
        onPick={(units) => set({ what: 'units', units })}
      />
      <ChoiceControl
        legend="Log rule"
        value={now.logRule ?? usualLogRule}
        options={logRuleKeys.map((rule) => [rule, logRules[rule].name] as const)}
        onPick={(rule: LogRule) => set({ what: 'logRule', rule })}
      />
      <AnswerText text={answer} />
    </section>
  );
}

/** How far single readings of a device scatter here. */
export function Scatter() {
  const { conversation } = usePage();
  const now = conversation.settings;
  const { answer, tell } = useTelling();
  const [device, setDevice] = useState<'laser' | 'sonic' | 'tape'>('laser');
  const unit: LengthUnit = now.units === 'metres' ? 'm' : 'ft';
  return (
    <section>
      <h2>Lasers and other devices</h2>
      <p class="fact">
        How far single readings of it scatter in your woods; a height from it is that uncertain.
      </p>
      <NumberForm
        fields={{
          scatter: {
            label: `scatter by, ${now.units === 'metres' ? 'metres' : 'feet'}`,
            placeholder: now.scatter[device]?.toFixed(1) ?? '',
          },
        }}
        onNumbers={({ scatter }) =>
          void tell({ kind: 'setting', set: { what: 'scatter', device, length: { value: scatter, unit } } })
        }
      >
        <label>
          Readings of the
          <select
            value={device}
            onChange={(event) => setDevice(event.currentTarget.value as 'laser' | 'sonic' | 'tape')}
          >
            <option value="laser">laser</option>
            <option value="sonic">sonic device</option>
            <option value="tape">tape drop</option>
          </select>
        </label>
      </NumberForm>
      <AnswerText text={answer} />
    </section>
  );
}

/** What is supposed about the errors of hand, eye and tool: each with its source, and a field to set another value. */
export function SupposedErrors() {
  const { conversation } = usePage();
  const { answer, tell } = useTelling();
  const [error, setError] = useState<DeviationName>('sightDegrees');
  const now = { ...usualDeviations, ...conversation.settings.deviations };
  const shown = (name: DeviationName) => String(Number(asSaid(name, now[name]).toFixed(2)));
  return (
    <details>
      <summary>Supposed errors</summary>
      <NumberForm
        fields={{
          value: {
            label: `one standard deviation, ${deviations[error].unit}`,
            placeholder: shown(error),
            emptied: true,
          },
        }}
        onNumbers={({ value }) => void tell({ kind: 'setting', set: { what: 'deviation', error, value } })}
      >
        <label>
          Error of
          <select value={error} onChange={(event) => setError(event.currentTarget.value as DeviationName)}>
            {deviationNames.map((name) => (
              <option key={name} value={name}>
                {deviations[name].about}
              </option>
            ))}
          </select>
        </label>
      </NumberForm>
      <AnswerText text={answer} />
      <table>
        <thead>
          <tr>
            <th>error of</th>
            <th>standard deviation</th>
            <th>source</th>
          </tr>
        </thead>
        <tbody>
          {deviationNames.map((name) => (
            <tr key={name}>
              <td>{deviations[name].about}</td>
              <td>
                {shown(name)} {deviations[name].unit}
              </td>
              <td>{sourceOf(name, now[name])}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}

export function Person() {
  const { conversation } = usePage();
  const now = conversation.settings;
  const people = [
    ...new Set(
      [...conversation.book.entries].flatMap((entry) =>
        entry.note.kind === 'setting' && entry.note.set.what === 'person' ? [entry.note.set.name] : [],
      ),
    ),
  ];
  const [name, setName] = useState('');
  const { answer, tell } = useTelling();
  const be = (who: string) => void tell({ kind: 'setting', set: { what: 'person', name: who } });
  return (
    <section>
      <h2>People</h2>
      <p class="fact">{now.person ? `${wording.sentence(now.person)} is speaking.` : 'Nobody was named.'}</p>
      <AnswerText text={answer} />
      <p class="buttons">
        {people.map((who) => (
          <button key={who} type="button" aria-pressed={who === now.person} onClick={() => be(who)}>
            {who}
          </button>
        ))}
      </p>
      <form
        class="fields"
        onSubmit={(event) => {
          event.preventDefault();
          if (name.trim() !== '') be(name.trim().toLowerCase());
          setName('');
        }}
      >
        <label>
          Another name
          <input value={name} maxLength={80} onInput={(event) => setName(event.currentTarget.value)} />
        </label>
        <button type="submit" disabled={name.trim() === ''}>
          Set
        </button>
      </form>
    </section>
  );
}

export function SpeciesSetup() {
  const { conversation } = usePage();
  const own = conversation.book.words;
  const { nicknames } = conversation.settings;
  const [find, setFind] = useState('');
  const found = species.filter(
    (one) =>
      find.trim() !== '' &&
      [one.commonName, one.scientificName, ...one.nicknames].some((name) =>
        spokenName(name).includes(spokenName(find)),
      ),
  );
  return (
    <section>
      <h2>Species</h2>
      <p class="fact">
        {species.length} species can be said by name.{' '}
        {own.length > 0 && `Own words: ${wording.list(own.map((one) => one.word))}. `}
        {nicknames.size > 0 &&
          `Here, ${wording.list([...nicknames].map(([name, code]) => `${name} is ${wording.speciesName(code)}`))}. `}
        Teach another: <q>call sugar maple hard rock</q>.
      </p>
      <form class="fields" onSubmit={(event) => event.preventDefault()}>
        <label>
          Look one up
          <input value={find} onInput={(event) => setFind(event.currentTarget.value)} />
        </label>
      </form>
      <ul class="found">
        {found.slice(0, 12).map((one) => (
          <li key={one.code}>
            <b>{spokenName(one.commonName)}</b> <i>{one.scientificName}</i>
            {one.nicknames.length > 0 && <small> also {wording.list(one.nicknames, 'or')}</small>}
          </li>
        ))}
      </ul>
    </section>
  );
}
