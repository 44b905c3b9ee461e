import assert from "node:assert/strict";
import {
  contrast,
  darkScheme,
  groupStyles,
  luminance,
  orderedFills,
  palette,
} from "../../lib/figures/theme/theme.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";

const groups = ["repair", "replacement", "third", "fourth"] as const;

Deno.test("contrast() is 21 of black on white and 1 of a colour on itself", () => {
  // Source: WCAG 2.2, definition of contrast ratio.
  assert.ok(Math.abs(contrast("#000000", "#ffffff") - 21) < 1e-9);
  assert.equal(contrast("#0072b2", "#0072b2"), 1);
});

Deno.test("group colours reach 3:1 on white, their letters 4.5:1", () => {
  // Source: WCAG 2.2, criteria 1.4.11 and 1.4.3.
  for (const role of groups) {
    assert.ok(contrast(palette[role], palette.paper) >= 3, role);
    assert.ok(contrast(palette[`${role}-text`], palette.paper) >= 4.5, role);
  }
  assert.ok(contrast(palette.quiet, palette.paper) >= 4.5);
});

Deno.test("the dark scheme keeps the same contrasts on its own paper", () => {
  const dark = Object.fromEntries(
    darkScheme().split(";").map((line) => line.replace("--figure-", "").split(":")),
  ) as typeof palette;
  assert.deepEqual(Object.keys(dark).sort(), Object.keys(palette).sort());
  for (const role of groups) {
    assert.ok(contrast(dark[role], dark.paper) >= 3, role);
    assert.ok(contrast(dark[`${role}-text`], dark.paper) >= 4.5, role);
  }
  for (const level of [0, 1, 2] as const) {
    assert.ok(contrast(dark.ink, dark[`ramp-${level}`]) >= 4.5, `letters on ${level}`);
  }
  for (const level of [3, 4] as const) {
    assert.ok(contrast(dark.paper, dark[`ramp-${level}`]) >= 4.5, `letters on ${level}`);
  }
  assert.ok(contrast(dark.ink, dark.paper) >= 7);
  assert.ok(contrast(dark.quiet, dark.paper) >= 4.5);
});

Deno.test("repair and replacement differ in greyscale and in line", () => {
  // CIE 1976 lightness of the luminance; a difference of 5 is common practice, no source
  const lightness = (color: string) => 116 * Math.cbrt(luminance(color)) - 16;
  assert.ok(Math.abs(lightness(palette.repair) - lightness(palette.replacement)) >= 5);
  const styles = groupStyles(groups.map((role) => ({ label: role, role })));
  assert.equal(new Set(styles.map(({ dash }) => dash)).size, 4);
});

Deno.test("no two roles have one colour: the colour names the role", () => {
  const values = Object.values(palette);
  assert.equal(new Set(values).size, values.length);
});

Deno.test("orderedFills() grow darker step by step, letters readable on each", () => {
  for (const count of [2, 3, 4, 5]) {
    const fills = orderedFills(count);
    for (let k = 1; k < count; k++) {
      assert.ok(luminance(fills[k]!.fill) < luminance(fills[k - 1]!.fill) * 0.8);
    }
    for (const { fill, letters } of fills) assert.ok(contrast(fill, letters) >= 4.5, fill);
  }
  assert.throws(() => orderedFills(6), DataError);
});

Deno.test("groupStyles() gives repair and replacement their own style in any order", () => {
  const roles = (labels: string[]) =>
    groupStyles(labels.map((label) => ({ label }))).map((s) => s.role);
  assert.deepEqual(roles(["Replacement", "Repair"]), ["replacement", "repair"]);
  assert.deepEqual(roles(["Other", "Repair, intended"]), ["replacement", "repair"]);
  assert.deepEqual(roles(["Repair A", "Repair B"]), ["repair", "replacement"]);
  assert.throws(() => roles(["a", "b", "c", "d", "e"]), /at most 4/);
});
