import { documentHtml } from "../../markup/mod.ts";
import { type Content, h } from "../../tree/mod.ts";
import { headingsTree } from "./headings-tree.ts";
import { questionTree } from "./question-tree.ts";
import type { PageState } from "./session.ts";
import { pageStyle } from "./style.ts";

/** The whole page as it is now: the question that waits, then every heading looked at. */
export function pageHtml(state: Readonly<PageState>): string {
  const { said, headings, question, end } = state;
  const tables = Map.groupBy(headings, ({ table }) => table);
  return documentHtml({
    title: `${titleOf(state)} · From an export to a study file`,
    style: pageStyle,
    forms: true,
    body: [
      h(
        "main",
        {},
        h(
          "div.first",
          {},
          h("p.overline", {}, "From your export to a study file"),
          end ? endTree(end) : question ? questionTree(question) : workingTree(),
        ),
        [...tables].map(([table, own]) => headingsTree(table, own, question)),
        said.length > 0 && h(
          "details.code",
          {},
          h("summary", {}, "Everything found so far, line by line"),
          h("pre", { tabindex: 0 }, said.join("\n").trim()),
        ),
      ),
      h(
        "footer",
        {},
        h(
          "p",
          {},
          "This page is on this machine alone: it fetches nothing, and nobody else can open it. It " +
            "ends with the command that opened it. It shows values of your export, as the terminal " +
            "would: close it when you leave.",
        ),
      ),
    ],
  });
}

function titleOf({ question, end }: Readonly<PageState>): string {
  if (end) return "Ended";
  if (!question) return "Working";
  const { about, trouble, lines } = question;
  const asked = about ? `What is “${about.heading}”?` : (lines[0] ?? "A question");
  return trouble ? `Not usable. ${asked}` : asked;
}

function workingTree(): Content {
  return [
    h("h1", {}, "Working"),
    h("p", {}, "The files are being read. ", h("a", { href: "" }, "Look again"), "."),
  ];
}

function endTree(lines: readonly string[]): Content {
  const text = lines.join("\n").trim();
  return [
    h("h1", {}, "This conversation has ended"),
    h("pre.end", { tabindex: 0 }, text),
    h("p", {}, "The same lines stand on the terminal. You may close this page."),
  ];
}
