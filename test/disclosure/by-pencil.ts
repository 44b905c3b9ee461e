/**
 * What a reader with a pencil finds: bounds passed on along rows and columns until nothing moves.
 */
export function byPencil(seen: (number | null)[][]): { low: number; high: number }[][] {
  const bounds = seen.map((row) =>
    row.map((value) => ({ low: value ?? 0, high: value ?? Infinity }))
  );
  const lines = [
    ...bounds,
    ...bounds[0]!.map((_, j) => bounds.map((row) => row[j]!)),
  ];
  for (let moved = true; moved;) {
    moved = false;
    for (const line of lines) {
      const parts = line.slice(0, -1);
      const total = line.at(-1)!;
      const narrow = (one: { low: number; high: number }, low: number, high: number) => {
        if (low > one.low) [one.low, moved] = [low, true];
        if (high < one.high) [one.high, moved] = [high, true];
      };
      const sum = (key: "low" | "high", but?: unknown) =>
        parts.reduce((all, part) => part === but ? all : all + part[key], 0);
      narrow(total, sum("low"), sum("high"));
      for (const part of parts) {
        narrow(part, total.low - sum("high", part), total.high - sum("low", part));
      }
    }
  }
  return bounds;
}
