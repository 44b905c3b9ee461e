import { DOMParser } from "linkedom";
import { ok } from "node:assert/strict";

type Page = ReturnType<DOMParser["parseFromString"]>;

/** What a browser would send for a press of a button: the fields of its form as they stand. */
interface Press {
  button: string;
  /** Fields that the person changes first, by name. */
  fill?: Record<string, string>;
}

/** A page as a browser has it, without scripts. */
export function pageOf(html: string): Page {
  return new DOMParser().parseFromString(html, "text/html");
}

/** Presses a button of a page, with fields filled; every control that is used must be there. */
export function press(page: Page, { button, fill = {} }: Press): URLSearchParams {
  const form = [...page.querySelectorAll("form")].find((one) =>
    one.querySelector(`button[value="${button}"]`)
  );
  ok(form, `no button “${button}” in: ${page.querySelector("h1")?.textContent}`);
  const sent = new URLSearchParams();
  for (const control of form.querySelectorAll("input, select")) {
    const name = control.getAttribute("name") ?? "";
    const type = control.getAttribute("type");
    if (control.localName === "select") {
      const options = [...control.querySelectorAll("option")];
      const wanted = fill[name] ??
        (options.find((one) => one.hasAttribute("selected")) ?? options[0])?.getAttribute("value");
      ok(options.some((one) => one.getAttribute("value") === wanted), `${name}: no “${wanted}”`);
      sent.append(name, wanted ?? "");
    } else if (type === "radio" || type === "checkbox") {
      const value = control.getAttribute("value") ?? "";
      const chosen = Object.hasOwn(fill, name)
        ? fill[name] === value
        : control.hasAttribute("checked");
      if (chosen) sent.append(name, value);
    } else sent.append(name, fill[name] ?? control.getAttribute("value") ?? "");
  }
  for (const name of Object.keys(fill)) ok(sent.has(name), `no field “${name}”`);
  sent.append("pressed", button);
  return sent;
}

/** What a person clicks to say what a line would say on the terminal; nothing agrees. */
export function clicksFor(page: Page, answer: string | undefined): URLSearchParams {
  const has = (button: string) => page.querySelector(`button[value="${button}"]`) !== null;
  if (answer === undefined) {
    return press(page, { button: ["take", "this", "write"].find(has) ?? "open" });
  }
  if (has("column")) {
    const source = [...page.querySelectorAll("select[name=source] option")]
      .some((one) => one.getAttribute("value") === answer);
    return source
      ? press(page, { button: "source", fill: { source: answer } })
      : press(page, { button: "column", fill: { column: answer } });
  }
  const choice = page.querySelector("[name=choice]");
  if (choice) return press(page, { button: "this", fill: { choice: answer } });
  if (page.querySelector("[name=line]")) {
    return press(page, { button: "this", fill: { line: answer } });
  }
  const labels = [...page.querySelectorAll("label")];
  // a line may name values that are not asked about, too
  const fill = Object.fromEntries(
    answer.split("; ").flatMap((pair) => {
      const [value, code = ""] = pair.split("=");
      const label = labels.find((one) => one.textContent?.startsWith(`${value} (`));
      const name = label?.getAttribute("for")?.replace("field-", "");
      return name ? [[name, { alive: "0", dead: "1" }[code] ?? code]] : [];
    }),
  );
  ok(Object.keys(fill).length > 0, `no control for ${answer}`);
  return press(page, { button: "this", fill });
}
