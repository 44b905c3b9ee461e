/**
 * What runs in a worker of `wordFilesBeside`: makes the manuscript, and answers.
 *
 * @module
 */
import { keptFiles } from "../kept/mod.ts";
import { methodsUsed } from "../methods/mod.ts";
import { messageOf } from "../notebooks/mod.ts";
import { wordFiles } from "./word-files.ts";
import type { WordAnswer, WordTask } from "./word-files-beside.ts";

const scope = globalThis as unknown as {
  onmessage: (event: { data: WordTask }) => void;
  postMessage: (answer: WordAnswer) => void;
};

scope.onmessage = async ({ data: { model: sent, kept } }) => {
  try {
    const model = { ...sent, methods: methodsUsed(sent.runs, sent.study) };
    scope.postMessage({ files: await wordFiles(keptFiles(...kept)).manuscript(model) });
  } catch (error) {
    scope.postMessage({ problem: messageOf(error) });
  }
};
