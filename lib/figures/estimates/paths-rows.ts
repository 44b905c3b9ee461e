/** One way of making the comparison, and its answer. */
export interface DrawnPath {
  estimate: number;
  lower: number;
  upper: number;
  /** The option of each choice, by id. */
  choices: Readonly<Record<string, string>>;
  planned?: boolean;
}

/** One choice and its options, by id. */
export interface DrawnChoice {
  id: string;
  label: string;
  options: readonly { id: string; label: string }[];
}

/** What the panels of a figure of paths share. */
export type PathsFrame = {
  width: number;
  margins: { marginLeft: number; marginRight: number };
  x: { domain: [number, number] };
};
