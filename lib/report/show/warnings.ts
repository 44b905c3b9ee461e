import { onWarning } from "../../numerics/mod.ts";
import { display, isShownSomewhere } from "./display.ts";
import { type Note, note } from "./finding.ts";

/**
 * Shows every warning that anything raises where a notebook runs: once, below the cell whose
 * computation raised it first. In a script or a test nothing is shown.
 */
export function showWarnings(): void {
  const shown = new Set<string>();
  onWarning((text) => {
    if (!isShownSomewhere() || shown.has(text)) return;
    shown.add(text);
    void display(warningNote(text));
  });
}

/** A warning as a note. The same text has the same id, by which the report knows it again. */
export function warningNote(text: string): Note {
  return note({ id: `warning-${shortHash(text)}`, about: "warning", text });
}

/** Eight figures of a text (FNV-1a, 32 bits): enough to tell a report's few warnings apart. */
function shortHash(text: string): string {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, "0");
}
