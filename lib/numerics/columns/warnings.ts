let heard: ((text: string) => void) | undefined;
let quiet = 0;

/**
 * Tells whoever listens of what a reader must know before trusting a result, and returns the texts,
 * to be kept with the result too. A result that carries `warnings` raises them here, so that none
 * depends on its caller's looking.
 */
export function raised(warnings: readonly string[]): string[] {
  if (quiet === 0) {
    for (const text of warnings) heard?.(text);
  }
  return [...warnings];
}

/** Names who hears warnings from now on: what runs a notebook. In tests and scripts nobody does. */
export function onWarning(listener: ((text: string) => void) | undefined): void {
  heard = listener;
}

/**
 * Runs work that repeats, with small changes, what has raised its warnings already: those of the
 * repetitions are kept with their results only.
 */
export function quietly<Result>(work: () => Result): Result {
  quiet++;
  try {
    return work();
  } finally {
    quiet--;
  }
}

/**
 * Does work and gives what it raised, which nobody has heard yet: to be raised with the result,
 * whenever that is used.
 */
export function withWarnings<Result>(work: () => Result): { result: Result; warnings: string[] } {
  const [listener, silence] = [heard, quiet];
  const warnings: string[] = [];
  heard = (text) => warnings.push(text);
  quiet = 0;
  try {
    return { result: work(), warnings };
  } finally {
    heard = listener;
    quiet = silence;
  }
}
