import {
  type AskedValue,
  type Choice,
  type Form,
  partsOf,
  type Question,
  unquoted,
} from "../../../cohort/begin/mod.ts";
import { type Content, type Element, h } from "../../tree/mod.ts";
import { factsTree } from "./headings-tree.ts";
import { headingForms } from "./heading-forms.ts";
import { button, formTree, labelled, selectTree } from "./controls.ts";

/** The question that waits, with what answers it by clicking. */
export function questionTree(question: Question): Content {
  const { about, lines, trouble } = question;
  const [title = "", ...rest] = about ? [`What is “${about.heading}”?`, ...lines.slice(1)] : lines;
  return [
    h("h1", {}, title),
    trouble !== undefined && h("p.failed", { role: "alert" }, trouble),
    about ? factsTree(about) : null,
    rest.length > 0 && question.form?.kind !== "codes" &&
    h("pre.said", { tabindex: 0 }, rest.join("\n")),
    controlsOf(question),
    h(
      "div.aside",
      {},
      formTree(question, button("back", "Back to the question before")),
      formTree(question, button("stop", "Stop for now: answers are kept")),
    ),
  ];
}

function controlsOf(question: Question): Content {
  const { form, proposal } = question;
  switch (form?.kind) {
    case "one":
      return oneTree(question, form.choices);
    case "some":
      return someTree(question, form);
    case "codes":
      return codesTree(question, form);
    case "heading":
      return headingForms(question, form.table);
    case "confirm":
      return confirmTree(question, form.names);
    default:
      return formTree(
        question,
        labelled("line", "Your answer", (id) =>
          h("input", {
            id,
            name: "line",
            type: "text",
            value: proposal ?? "",
            autocomplete: "off",
            required: true,
          })),
        button("this", "Take this answer", "main"),
      );
  }
}

/** More choices than these are a list to choose from. */
const mostButtons = 8;

function oneTree(question: Question, choices: readonly Choice[]): Element {
  if (choices.length > mostButtons) {
    return formTree(
      question,
      selectTree({ name: "choice", label: "Your answer" }, choices, question.proposal),
      button("this", "Take this answer", "main"),
    );
  }
  return formTree(
    question,
    h(
      "fieldset",
      {},
      h("legend", {}, "Your answer"),
      choices.map(({ answer, label }, place) =>
        h(
          "label.choice",
          { for: `choice-${place}` },
          h("input", {
            id: `choice-${place}`,
            type: "radio",
            name: "choice",
            value: answer,
            required: true,
            checked: answer === question.proposal,
          }),
          h("span", {}, label),
        )
      ),
    ),
    button("this", "Take this answer", "main"),
  );
}

function someTree(question: Question, form: Extract<Form, { kind: "some" }>): Element {
  const mark = form.joint.trim() === "," ? "," : ";";
  const proposed = partsOf(question.proposal ?? "", mark).map(unquoted);
  return formTree(
    question,
    h(
      "fieldset",
      {},
      h("legend", {}, form.what),
      form.names.map((name, place) =>
        tickTree(`name-${place}`, `name-${place}`, "ticked", name, proposed.includes(name))
      ),
    ),
    button(
      "this",
      form.none === "ignore" ? "Leave out all that are not ticked" : "Take what is ticked",
      "main",
    ),
    button("open", "Leave open"),
  );
}

function codesTree(question: Question, form: Extract<Form, { kind: "codes" }>): Element {
  const { values, codes } = form;
  const control = ({ value, count, code, why }: AskedValue, place: number): Element => {
    const name = `code-${place}`;
    const label = `${value} (${count})${why ? `: ${why}` : ""}`;
    const chosen = code === undefined ? "" : String(code);
    return codes
      ? selectTree({ name, label }, [{ answer: "", label: "left open" }, ...codes], chosen)
      : labelled(
        name,
        label,
        (id) => h("input", { id, name, type: "text", inputmode: "decimal", value: chosen }),
      );
  };
  return formTree(
    question,
    h(
      "fieldset.values",
      {},
      h("legend", {}, codes ? "What each value means" : "The number each stands for; empty: open"),
      values.map(control),
    ),
    button("this", "Take these", "main"),
    button("open", codes ? "Leave the column open" : "Leave all open"),
  );
}

function confirmTree(question: Question, names: readonly Choice[]): Content {
  return [
    formTree(question, button("write", "Write the files", "main")),
    formTree(
      question,
      h(
        "details.code",
        {},
        h("summary", {}, "Or be asked again about some of them"),
        h(
          "fieldset",
          {},
          h("legend", {}, "Ask me again about"),
          names.map(({ answer, label }, place) =>
            tickTree(`again-${place}`, "again", answer, label)
          ),
        ),
        button("again", "Ask me about those ticked"),
      ),
    ),
  ];
}

function tickTree(id: string, name: string, value: string, label: string, checked = false) {
  return h(
    "label.choice",
    { for: id },
    h("input", { id, type: "checkbox", name, value, checked }),
    h("span", {}, label),
  );
}
