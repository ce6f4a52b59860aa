/** Controls of the setup: one of several, on or off, a number. */

export function Choice<T extends string>(props: {
  readonly legend: string;
  readonly value: string;
  readonly options: readonly (readonly [T, string])[];
  readonly onPick: (value: T) => void;
}) {
  return (
    <fieldset class="choice">
      <legend>{props.legend}</legend>
      {props.options.map(([value, label]) => (
        <button
          key={value}
          type="button"
          aria-pressed={value === props.value}
          onClick={() => props.onPick(value)}
        >
          {label}
        </button>
      ))}
    </fieldset>
  );
}

export function Switch(props: {
  readonly label: string;
  readonly on: boolean;
  readonly onSet: (on: boolean) => void;
}) {
  return (
    <p class="switch">
      <button type="button" role="switch" aria-checked={props.on} onClick={() => props.onSet(!props.on)}>
        {props.label} <b>{props.on ? 'yes' : 'no'}</b>
      </button>
    </p>
  );
}

/** A number as it is typed; `numberOf` says what it is. */
export function NumberField(props: {
  readonly label: string;
  readonly value: string;
  readonly placeholder?: string;
  readonly onValue: (value: string) => void;
}) {
  return (
    <label>
      {props.label}
      <input
        inputMode="decimal"
        value={props.value}
        placeholder={props.placeholder ?? ''}
        onInput={(event) => props.onValue(event.currentTarget.value)}
      />
    </label>
  );
}

/** A number as typed, comma or point; null when it is none or not above zero. */
export function numberOf(text: string): number | null {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() !== '' && Number.isFinite(value) && value > 0 ? value : null;
}
