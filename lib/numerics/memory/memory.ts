/** What was made of texts, as long as not too much is kept: then it begins anew. */
export class Memory<Made> {
  readonly #made = new Map<string, Made>();
  readonly #most: number;

  constructor(most: number) {
    this.#most = most;
  }

  /** What was made of a text, or is made of it now; where that throws nothing is kept. */
  get(text: string, make: () => Made): Made {
    const kept = this.#made.get(text);
    if (kept !== undefined || this.#made.has(text)) return kept as Made;
    const made = make();
    if (this.#made.size >= this.#most) this.#made.clear();
    this.#made.set(text, made);
    return made;
  }

  /** Takes what was made of a text before. */
  set(text: string, made: Made): void {
    this.#made.set(text, made);
  }
}
