const file = new URL("programmes.md", import.meta.url);

/** Writes one part of the published results anew; what others and people wrote stays. */
export function section(part: string, lines: string): void {
  const [begin, end] = [`<!-- ${part} -->\n`, `<!-- end of ${part} -->`];
  const before = Deno.readTextFileSync(file);
  const [from, to] = [before.indexOf(begin), before.indexOf(end)];
  if (from < 0 || to < from) throw new Error(`programmes.md has no place for ${part}`);
  Deno.writeTextFileSync(
    file,
    before.slice(0, from + begin.length) + "\n" + lines.trim() + "\n\n" + before.slice(to),
  );
}

/** "95.3 (0.4)": so many of so many, in per cent, with the Monte-Carlo standard error. */
export function percent(found: number, of: number): string {
  const share = found / of;
  return `${(100 * share).toFixed(1)} (${(100 * Math.sqrt(share * (1 - share) / of)).toFixed(1)})`;
}
