import { type Question, quoted, quotedName } from "../../../cohort/begin/mod.ts";

/**
 * What was clicked, as the line that would say the same on the terminal. The button names what is
 * meant: `take` the proposal, `open`, `stop`, `back`, or `this`, which the fields beside it say.
 */
export function answerOf({ form: kind, proposal = "" }: Question, form: FormData): string {
  const field = (name: string) => {
    const value = form.get(name);
    return typeof value === "string" ? value.trim() : "";
  };
  const pressed = field("pressed");
  if (pressed === "take") return proposal;
  if (pressed === "open" || pressed === "stop" || pressed === "back") return pressed;
  switch (kind?.kind) {
    case "one":
      return field("choice");
    case "some": {
      const chosen = kind.names.filter((_, place) => form.has(`name-${place}`));
      return chosen.length === 0 ? kind.none : chosen.map(quotedName).join(kind.joint);
    }
    case "codes":
      return kind.values.map(({ value }, place) =>
        `${quoted(value)}=${field(`code-${place}`) || "open"}`
      ).join("; ");
    case "heading":
      return ofHeading(pressed, field);
    case "confirm":
      return pressed === "write"
        ? "write"
        : form.getAll("again").filter((one) => typeof one === "string").map(quotedName).join(
          "; ",
        ) || "none named";
    default:
      return field("line");
  }
}

function ofHeading(pressed: string, field: (name: string) => string): string {
  switch (pressed) {
    case "column":
      return [field("column"), field("unit")].filter((text) => text !== "").join(" ");
    case "source":
      return field("source");
    case "ignore": {
      const why = field("why");
      return why === "" ? "ignore" : `ignore: ${why}`;
    }
    default:
      return "open";
  }
}
