import assert from "node:assert/strict";
import { incidenceDifference, SeededRandom } from "mitral";

// Simulation: 120 a group, 1 and 3 in 100 with the event, many cohorts without one in an arm.
Deno.test("limits with few events contain the truth as often as they say", () => {
  const random = new SeededRandom(20);
  const replicates = 600;
  let held = 0;
  let none = 0;
  for (let r = 0; r < replicates; r++) {
    const time: number[] = [];
    const event: number[] = [];
    const group = Array.from({ length: 240 }, (_, i) => i % 2);
    for (const side of group) {
      const failure = random.exponential(-Math.log(1 - (side ? 0.03 : 0.01)));
      const end = 0.2 + 2 * random.uniform();
      time.push(Math.min(failure, end));
      event.push(failure <= end ? 1 : 0);
    }
    const [contrast] = incidenceDifference({ time, event, group }, { cause: 1, times: [1] });
    const { lower, upper } = contrast!.difference;
    if (contrast!.groups.some(({ events }) => events === 0)) none++;
    if (lower <= 0.02 && 0.02 <= upper) held++;
  }
  assert.ok(none > 0.3 * replicates, `${none} without an event in an arm`);
  // never below by more than three Monte-Carlo errors; exact limits hold more often than they say
  assert.ok(held / replicates > 0.95 - 3 * Math.sqrt(0.95 * 0.05 / replicates), `${held}`);
});

// Simulation: 150 a group, one in 50 and one in 20 with the event by 1 year, as many others dying;
// weights from 0.1 to 4 that go with it. The truth is that of weights without end.
Deno.test("under weights limits of few events contain the truth as often as they say", () => {
  const random = new SeededRandom(21);
  const draw = (n: number, level: number) => {
    const rows = { time: [] as number[], event: [] as number[], weight: [] as number[] };
    for (let i = 0; i < n; i++) {
      const weight = Math.exp(1.6 * (random.uniform() + random.uniform() - 1) - 0.3);
      const ill = random.exponential(-Math.log(1 - level / (1 + weight)));
      const death = random.exponential(0.05);
      const end = Math.min(death, 0.5 + 3 * random.uniform());
      rows.time.push(Math.min(ill, end));
      rows.event.push(ill < end ? 1 : end === death ? 2 : 0);
      rows.weight.push(weight);
    }
    return rows;
  };
  const truth = [0.04, 0.1].map((level) =>
    incidenceDifference({
      ...draw(200_000, level),
      group: Array.from({ length: 200_000 }, (_, i) => i % 2),
    }, { cause: 1, times: [1] })[0]!.groups.reduce((sum, { estimate }) => sum + estimate / 2, 0)
  );
  const replicates = 500;
  const held = [0, 0, 0];
  for (let r = 0; r < replicates; r++) {
    const [a, b] = [draw(150, 0.04), draw(150, 0.1)];
    const [contrast] = incidenceDifference({
      time: [...a.time, ...b.time],
      event: [...a.event, ...b.event],
      weight: [...a.weight, ...b.weight],
      group: Array.from({ length: 300 }, (_, i) => i < 150 ? "a" : "b"),
    }, { cause: 1, times: [1] });
    const { groups, difference } = contrast!;
    [...groups, difference].forEach(({ lower, upper }, k) => {
      const real = k < 2 ? truth[k]! : truth[1]! - truth[0]!;
      if (lower <= real && real <= upper) held[k]!++;
    });
  }
  for (const count of held) {
    assert.ok(count / replicates > 0.95 - 3 * Math.sqrt(0.95 * 0.05 / replicates), `${held}`);
  }
});
