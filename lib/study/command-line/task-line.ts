/**
 * What a reader types next: a task with its options, those without a value left out, and what it
 * takes without a name. A value is quoted where a shell would not take it as one word.
 */
export function taskLine(
  task: string,
  options: Readonly<Record<string, string | boolean | undefined>>,
  names: readonly string[] = [],
): string {
  const words = Object.entries(options).flatMap(([name, value]) =>
    value === undefined || value === false
      ? []
      : value === true
      ? [`--${name}`]
      : [`--${name}`, oneWord(value)]
  );
  return ["deno task", task, ...names.map(oneWord), ...words].join(" ");
}

function oneWord(value: string): string {
  return /^[\p{L}\p{N}_,./:@%+=-]+$/u.test(value) ? value : `'${value.replaceAll("'", `'\\''`)}'`;
}
