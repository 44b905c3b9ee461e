/** Lets others have their turn, such as a worker that says it is ready. */
export function turn(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve));
}
