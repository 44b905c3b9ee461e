/** Settles with a promise, or after some time; the timer does not outlast it. */
export async function within(milliseconds: number, promise: Promise<unknown>): Promise<void> {
  const { promise: enough, resolve } = Promise.withResolvers<void>();
  const timer = setTimeout(resolve, milliseconds);
  try {
    await Promise.race([promise, enough]);
  } finally {
    clearTimeout(timer);
  }
}
