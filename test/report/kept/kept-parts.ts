export const cells = [
  'import { note } from "mitral"; note({ id: "a", about: "summary", text: "One." })',
  '"two"',
];
