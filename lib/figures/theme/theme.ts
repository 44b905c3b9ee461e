import { DataError } from "../../numerics/mod.ts";

/**
 * Every colour a drawing may use, by role.
 *
 * A drawing carries the light value as an attribute, so that any program that opens the file shows
 * it. A browser reads the custom property `--figure-<role>` first, so that a page may set another
 * scheme. Two roles never share a value: the value is what names the role in a finished drawing.
 *
 * The four group colours are bluish, vermillion, green and purple of Okabe and Ito (2008), "Color
 * universal design". Letters in a group's colour use a darker tone of it, to be readable.
 */
export const palette = {
  ink: "#1b1f24",
  quiet: "#555c65",
  axis: "#868d96",
  rule: "#e1e5e9",
  paper: "#ffffff",
  repair: "#0072b2",
  replacement: "#d55e00",
  third: "#009e73",
  // a shade darker than the set has it, for 3:1 on the page
  fourth: "#ca77a5",
  "repair-text": "#00639b",
  "replacement-text": "#ad4b00",
  "third-text": "#007856",
  "fourth-text": "#9a4a78",
  "ramp-0": "#edf0f3",
  "ramp-1": "#cbd3da",
  "ramp-2": "#9dabb7",
  "ramp-3": "#677686",
  "ramp-4": "#343f4b",
} as const;

/** A role in {@link palette}. */
export type PaletteRole = keyof typeof palette;

const darkPalette: Record<PaletteRole, string> = {
  ink: "#e9ecef",
  quiet: "#b0b8c0",
  axis: "#7f8891",
  rule: "#30373f",
  paper: "#14181d",
  repair: "#56b4e9",
  replacement: "#e69f00",
  third: "#00b685",
  fourth: "#d78fb6",
  "repair-text": "#7cc6ef",
  "replacement-text": "#f0b23a",
  "third-text": "#3ccaa0",
  "fourth-text": "#e0a8c6",
  "ramp-0": "#262d35",
  "ramp-1": "#414b56",
  "ramp-2": "#586471",
  "ramp-3": "#96a3af",
  "ramp-4": "#cfd7de",
};

/**
 * Declarations that turn every drawing on a page dark, for a style sheet of that page.
 *
 * @example
 * ```ts
 * import { darkScheme } from "mitral";
 * const css = `@media (prefers-color-scheme: dark) { :root { ${darkScheme()} } }`;
 * ```
 */
export function darkScheme(): string {
  return Object.entries(darkPalette).map(([role, value]) => `--figure-${role}:${value}`).join(";");
}

/** Families tried in turn; none is fetched. */
export const fontFamily =
  '"Source Sans 3", "Segoe UI", system-ui, -apple-system, "Helvetica Neue", Arial, sans-serif';

/**
 * Letter sizes in drawing units. A drawing 480 units wide fills a phone of 390 pixels less its
 * margins at three quarters of its size, so that the smallest letters there are about 11 pixels.
 */
export const type = { heading: 16, label: 15.5, text: 14.5 } as const;

/** Width of a drawing in its own units, unless told: one column of a journal page, or a phone. */
export const drawingWidth = 480;

/** The groups that have a colour and a line of their own. */
export type GroupRole = "repair" | "replacement" | "third" | "fourth";

/** How one group is drawn: always told apart by line as well as by colour. */
export interface GroupStyle {
  role: GroupRole;
  /** Lines and areas: at least 3:1 on white. */
  color: string;
  /** Letters: at least 4.5:1 on white. */
  textColor: string;
  /** Dashes of its line; empty for a solid line. */
  dash: string;
}

const groupStyle: Record<GroupRole, GroupStyle> = {
  repair: style("repair", ""),
  replacement: style("replacement", "7 3.5"),
  third: style("third", "1.5 3.5"),
  fourth: style("fourth", "10 3 2 3"),
};

function style(role: GroupRole, dash: string): GroupStyle {
  return { role, color: palette[role], textColor: palette[`${role}-text`], dash };
}

/**
 * The style of each group: as told by `role`, else by its label where that begins with "repair" or
 * "replace", else the next that is free.
 *
 * @throws {DataError} On no group, more groups than there are styles, or two groups with one role.
 */
export function groupStyles(
  groups: readonly { label: string; role?: GroupRole }[],
): GroupStyle[] {
  const free = new Set<GroupRole>(["repair", "replacement", "third", "fourth"]);
  if (groups.length === 0) throw new DataError("groups", "at least one", "none");
  if (groups.length > free.size) {
    throw new DataError("groups", `at most ${free.size} to be told apart`, groups.length);
  }
  const taken = groups.map(({ label, role }, index) => {
    const wanted = role ?? roleOf(label);
    if (!wanted) return undefined;
    if (!free.delete(wanted)) {
      if (role) throw new DataError("groups.role", "given to one group only", role, index);
      return undefined;
    }
    return wanted;
  });
  return taken.map((role) => {
    const next = role ?? [...free][0];
    if (!next) throw new DataError("groups", "told apart by role", groups.length);
    free.delete(next);
    return groupStyle[next];
  });
}

function roleOf(label: string): GroupRole | undefined {
  if (/^repair/i.test(label)) return "repair";
  if (/^replace/i.test(label)) return "replacement";
  return undefined;
}

/**
 * Fills for ordered categories, from least to most, light to dark; neutral, not a group's colour.
 */
export function orderedFills(count: number): { fill: string; letters: string }[] {
  const ramp = [0, 1, 2, 3, 4].map((level) => palette[`ramp-${level}` as PaletteRole]);
  if (count > ramp.length) {
    throw new DataError("categories", `at most ${ramp.length} to be told apart`, count);
  }
  // of four, the two lightest would be nearly alike
  const levels = [[], [2], [0, 4], [0, 2, 4], [0, 2, 3, 4], [0, 1, 2, 3, 4]][count] ?? [];
  return levels.map((level) => {
    return { fill: ramp[level] ?? palette.ink, letters: level < 3 ? palette.ink : palette.paper };
  });
}

/** Relative luminance of a `#rrggbb` colour. @see WCAG 2.2, "relative luminance". */
export function luminance(color: string): number {
  const channel = (at: number) => {
    const value = parseInt(color.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}

/** Contrast of two `#rrggbb` colours, 1 to 21. @see WCAG 2.2, "contrast ratio". */
export function contrast(first: string, second: string): number {
  const [low, high] = [luminance(first), luminance(second)].sort((a, b) => a - b);
  return ((high ?? 0) + 0.05) / ((low ?? 0) + 0.05);
}

/** The style of the group at an index. */
export function styleAt(styles: readonly GroupStyle[], index: number): GroupStyle {
  const style = styles[index];
  if (!style) throw new DataError("groups", "at least one", styles.length);
  return style;
}
