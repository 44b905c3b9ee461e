import { nationalAsDrawn } from "./national-as-drawn.ts";

Deno.test("a national file of 12,000 comes out as it was drawn", () => nationalAsDrawn(12_000));
