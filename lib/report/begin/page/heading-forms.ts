import { type Question, sourceKinds } from "../../../cohort/begin/mod.ts";
import { unitsFor } from "../../../cohort/cells/mod.ts";
import {
  type DictionaryColumn,
  tableColumns,
  type TableName,
} from "../../../cohort/dictionary/mod.ts";
import { type Content, h } from "../../tree/mod.ts";
import { button, formTree, labelled, selectTree } from "./controls.ts";

/**
 * The ways to say what a heading is, each a form of its own: its button says only what it is of.
 */
export function headingForms(question: Question, table: TableName): Content {
  const { proposal, about } = question;
  const columns = tableColumns(table).filter(({ name }) => name !== "id");
  const units = [...new Set(columns.flatMap((column) => unitsFor(column)))].sort();
  const column = columns.map(({ name, label, unit }) => ({
    answer: name,
    label: `${label}${unit === null ? "" : `, ${unit}`} (${name})`,
  }));
  const both = table === "patients"
    ? [{ answer: "intended, final", label: "Intended and final procedure, both (intended, final)" }]
    : [];
  const sources = Object.entries(sourceKinds).map(([answer, label]) => ({ answer, label }));
  return [
    proposal !== undefined && formTree(
      question,
      button("take", `Yes: ${inWords(proposal, columns)}`, "main"),
    ),
    formTree(
      question,
      h(
        "fieldset",
        {},
        h("legend", {}, proposal === undefined ? "It is a column" : "It is another column"),
        selectTree(
          { name: "column", label: "Column of the dictionary" },
          [...both, ...column],
          about?.meaning ?? undefined,
        ),
        selectTree({ name: "unit", label: "Its unit in the file" }, [
          { answer: "", label: "as the dictionary has it" },
          ...units.map((answer) => ({ answer, label: answer })),
        ]),
        button("column", "Take this column"),
      ),
    ),
    formTree(
      question,
      h(
        "fieldset",
        {},
        h("legend", {}, "Something is worked out from it"),
        selectTree({ name: "source", label: "It is the" }, sources),
        button("source", "Take it as this"),
      ),
    ),
    formTree(
      question,
      h(
        "fieldset",
        {},
        h("legend", {}, "It is not used"),
        labelled(
          "why",
          "Why, in a few words",
          (id) => h("input", { id, name: "why", type: "text" }),
        ),
        button("ignore", "Leave it out"),
      ),
    ),
    formTree(question, button("open", "Leave it open for later")),
  ];
}

/** A proposal with the dictionary's words for it. */
function inWords(proposal: string, columns: readonly DictionaryColumn[]): string {
  const label = columns.find(({ name }) => name === proposal.split(" ")[0])?.label;
  return label === undefined ? proposal : `${label} (${proposal})`;
}
