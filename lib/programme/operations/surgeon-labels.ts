/** Surgeons under neutral labels, those with few operations together. */
export interface SurgeonLabels {
  /** Of each row; "" where the surgeon is not recorded. */
  label: string[];
  /** Labels of single surgeons, in the order of their codes. */
  single: string[];
  /** Surgeons put together under `others`. */
  pooled: number;
  /** Label of those with too few operations. */
  others: string;
}

/**
 * Neutral labels, numbered in the order of the file's codes, which may be initials.
 *
 * @param options.smallestVolume Surgeons with fewer rows share one label.
 */
export function surgeonLabels(
  codes: readonly string[],
  options: { smallestVolume: number },
): SurgeonLabels {
  const count = new Map<string, number>();
  for (const code of codes) if (code !== "") count.set(code, (count.get(code) ?? 0) + 1);
  const enough = [...count.keys()].sort()
    .filter((code) => count.get(code)! >= options.smallestVolume);
  const others = "Surgeons with few operations";
  const named = new Map(enough.map((code, k) => [code, `Surgeon ${k + 1}`]));
  return {
    label: codes.map((code) => code === "" ? "" : named.get(code) ?? others),
    single: [...named.values()],
    pooled: count.size - enough.length,
    others,
  };
}
