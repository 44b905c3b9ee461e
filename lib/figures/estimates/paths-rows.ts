/** One way of making the comparison, and its answer. */
export interface DrawnPath {
  /** The estimate. */
  estimate: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** The option of each choice, by id. */
  choices: Readonly<Record<string, string>>;
  /** Whether the plan asked for it. */
  planned?: boolean;
}

/** One choice and its options, by id. */
export interface DrawnChoice {
  /** Name that it is referred to by. */
  id: string;
  /** Name as readers see it. */
  label: string;
  /** What can be chosen. */
  options: readonly { id: string; label: string }[];
}

/** What the panels of a figure of paths share. */
export type PathsFrame = {
  width: number;
  margins: { marginLeft: number; marginRight: number };
  x: { domain: [number, number] };
};
