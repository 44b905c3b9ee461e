import assert from "node:assert/strict";
import { countedProgress, toldLines } from "../../lib/study/file/mod.ts";

function told(isTerminal: boolean): { written: string[]; clock: { now: number } } & {
  tell: (done: number, all: number) => void;
} {
  const written: string[] = [];
  const clock = { now: 0 };
  const tell = countedProgress("Replicates", {
    write: (text) => written.push(text),
    isTerminal,
    now: () => clock.now,
  });
  return { written, clock, tell };
}

Deno.test("countedProgress() writes one line anew on a terminal, with the time left", () => {
  const { written, clock, tell } = told(true);
  for (let done = 1; done <= 40; done++) {
    clock.now += 1000;
    tell(done, 40);
  }
  assert.equal(written[0], "\r\x1b[2KReplicates: 1 of 40");
  assert.equal(written[9], "\r\x1b[2KReplicates: 10 of 40, about 30 s left");
  assert.equal(written.at(-2), "\r\x1b[2KReplicates: 40 of 40");
  assert.equal(written.at(-1), "\n");
});

Deno.test("countedProgress() writes a line now and then elsewhere", () => {
  const { written, clock, tell } = told(false);
  for (let done = 1; done <= 40; done++) {
    clock.now += 1000;
    tell(done, 40);
  }
  assert.deepEqual(written, [
    "Replicates: 10 of 40, about 30 s left\n",
    "Replicates: 20 of 40, about 20 s left\n",
    "Replicates: 30 of 40, about 10 s left\n",
    "Replicates: 40 of 40\n",
  ]);
});

Deno.test("toldLines() leave the line of a terminal once, and only where there is one", () => {
  for (const isTerminal of [true, false]) {
    const written: string[] = [];
    const lines = toldLines({ write: (text) => written.push(text), isTerminal, now: () => 0 });
    lines.end();
    assert.deepEqual(written, []);
    lines.tell("half", 10_000);
    lines.end();
    lines.end();
    assert.equal(written.join(""), isTerminal ? "\r\x1b[2Khalf\n" : "half\n");
    lines.begin(20_000);
    assert.equal(lines.isDue(20_499), false);
    assert.equal(lines.isDue(20_500), isTerminal);
    assert.equal(lines.isDue(30_000), true);
  }
});
