/** One field of the plan that two runs have different values of; `null` where one has none. */
export interface PlanDifference {
  field: string;
  a: string | null;
  b: string | null;
}

/**
 * The fields in which two plans differ, deepest first named: `eligibility.redo.exclude.oneOf`.
 *
 * Lists of things with an id (or a column) are compared thing by thing, whatever their order;
 * other lists as a whole.
 */
export function planDifferences(a: unknown, b: unknown): PlanDifference[] {
  const left = fieldsOf(a);
  const right = fieldsOf(b);
  return [...new Set([...left.keys(), ...right.keys()])]
    .map((field) => ({ field, a: left.get(field) ?? null, b: right.get(field) ?? null }))
    .filter((line) => line.a !== line.b);
}

function fieldsOf(value: unknown): Map<string, string> {
  const fields = new Map<string, string>();
  const visit = (at: unknown, path: string) => {
    if (Array.isArray(at)) {
      const names = at.map(nameOf);
      if (at.length > 0 && names.every((name) => name !== null)) {
        at.forEach((one, i) => visit(one, `${path}.${names[i]}`));
        fields.set(`${path} (order)`, names.join(", "));
      } else fields.set(path, at.map(shown).join(", ") || "none");
    } else if (typeof at === "object" && at !== null) {
      for (const [key, one] of Object.entries(at)) visit(one, path ? `${path}.${key}` : key);
    } else if (at !== undefined) fields.set(path, shown(at));
  };
  visit(value, "");
  return fields;
}

function nameOf(value: unknown): string | null {
  if (typeof value !== "object" || value === null) return null;
  const { id, column } = value as { id?: unknown; column?: unknown };
  return typeof id === "string" ? id : typeof column === "string" ? column : null;
}

function shown(value: unknown): string {
  return typeof value === "string" ? value : JSON.stringify(value);
}
