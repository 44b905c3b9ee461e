/**
 * The line on which a part of a JSON text stands, or the nearest part around it that is there.
 *
 * @param text A JSON text that can be parsed.
 * @param path Keys and places from the outside in.
 * @returns From 1.
 */
export function lineOfPath(text: string, path: readonly (string | number)[]): number {
  let at = 0;
  let line = 1;
  let found = 1;
  const skip = () => {
    while (at < text.length && /[\s,:]/.test(text[at]!)) if (text[at++] === "\n") line++;
  };
  const word = (): string => {
    const from = at;
    if (text[at] !== '"') {
      while (at < text.length && !/[\s,\]}]/.test(text[at]!)) at++;
      return text.slice(from, at);
    }
    for (at++; at < text.length && text[at] !== '"'; at++) if (text[at] === "\\") at++;
    return text.slice(from, ++at);
  };
  /** Reads one value; `depth` keys of the path led to it, -1 where it is beside the path. */
  const value = (depth: number): void => {
    skip();
    const opened = text[at];
    if (opened !== "{" && opened !== "[") return void word();
    at++;
    for (let place = 0;; place++) {
      skip();
      if (at >= text.length || text[at] === "}" || text[at] === "]") break;
      let key: string | number = place;
      const began = line;
      if (opened === "{") {
        key = JSON.parse(word());
        skip();
      }
      const leads = depth >= 0 && path[depth] === key;
      if (leads) found = opened === "{" ? began : line;
      value(leads ? depth + 1 : -1);
    }
    at++;
  };
  value(0);
  return found;
}

/**
 * The keys of a place such as `mapping.patients.Sex` or `endpoints[2].label`.
 *
 * @param within What it is a place in: a heading may have a dot or brackets in it, and the longest
 * key that is there is meant.
 */
export function pathOf(where: string, within?: unknown): (string | number)[] {
  const path: (string | number)[] = [];
  let rest = where;
  let at = within;
  while (rest !== "") {
    const place = /^\[(\d+)\]/.exec(rest);
    const key = place ? place[0] : keyAt(rest, at);
    path.push(place ? Number(place[1]) : key);
    at = typeof at === "object" && at !== null ? Reflect.get(at, place?.[1] ?? key) : undefined;
    rest = rest.slice(key.length).replace(/^[.\]]+/, "");
  }
  return path;
}

/** The key that a place begins with: the longest there is, else up to the next dot. */
function keyAt(where: string, at: unknown): string {
  const keys = typeof at === "object" && at !== null ? Object.keys(at) : [];
  const fits = keys.filter((key) => key !== "" && where.startsWith(key))
    .filter((key) => where.length === key.length || /[.[]/.test(where[key.length] ?? ""));
  const longest = fits.reduce((best, key) => key.length > best.length ? key : best, "");
  return longest || (/^[^.[\]]+/.exec(where)?.[0] ?? where);
}
