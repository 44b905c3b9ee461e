import { readFileText } from "../../study/file/mod.ts";

/** Labels S1, S2, ... for what a centre calls its surgeons: the same label each time. */
export interface LabelBook {
  /** The label of a name, a new one where it has none. A short code keeps its own. */
  labelOf(name: string): string;
  /** Whether a label was given since the book was opened. */
  readonly changed: boolean;
  /** Writes the book, for its owner's eyes only. */
  save(): Promise<void>;
}

/**
 * Opens a book of labels, or begins one. It holds names: it stays beside the key, and is why next
 * year's export gives the same surgeons the same labels.
 */
export async function labelBook(path: string): Promise<LabelBook> {
  const labels = new Map<string, string>();
  try {
    const held: unknown = JSON.parse(await readFileText(path));
    if (typeof held === "object" && held !== null) {
      for (const [name, label] of Object.entries(held)) labels.set(name, String(label));
    }
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
  }
  let changed = false;
  return {
    get changed() {
      return changed;
    },
    labelOf(name) {
      const key = name.normalize("NFC").replace(/\s+/g, " ").trim();
      let label = labels.get(key);
      if (label === undefined) {
        labels.set(key, label = `S${labels.size + 1}`);
        changed = true;
      }
      return label;
    },
    async save() {
      const text = `${JSON.stringify(Object.fromEntries(labels), null, 2)}\n`;
      await Deno.writeTextFile(path, text, { mode: 0o600 });
    },
  };
}
