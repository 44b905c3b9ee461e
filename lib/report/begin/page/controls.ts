import type { Choice, Question } from "../../../cohort/begin/mod.ts";
import { type Content, type Element, h } from "../../tree/mod.ts";

/** A form that answers a question; the id of the question keeps a late click from another one. */
export function formTree({ id }: Question, ...content: Content[]): Element {
  return h(
    "form",
    { method: "post", action: "", autocomplete: "off" },
    h("input", { type: "hidden", name: "question", value: id }),
    content,
  );
}

/** A button that says what is meant. */
export function button(pressed: string, label: string, rank: "main" | "other" = "other"): Element {
  return h(`button.${rank}`, { type: "submit", name: "pressed", value: pressed }, label);
}

/** A control with its label above. */
export function labelled(name: string, label: string, control: (id: string) => Element): Element {
  const id = `field-${name}`;
  return h("div.field", {}, h("label", { for: id }, label), control(id));
}

/** A list to choose one from. */
export function selectTree(
  { name, label }: { name: string; label: string },
  choices: readonly Choice[],
  chosen?: string,
): Element {
  return labelled(name, label, (id) =>
    h(
      "select",
      { id, name },
      choices.map(({ answer, label }) =>
        h("option", { value: answer, selected: answer === chosen }, label)
      ),
    ));
}
