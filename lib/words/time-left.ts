/**
 * How long something that is partly done will still take, in words: "about 3 min left". Empty as
 * long as nothing can be said: in the first two seconds, before anything is done, and at the end.
 *
 * @param done How much is done, in any unit.
 * @param all How much there is to do.
 * @param seconds What it took so far.
 */
export function timeLeftText(done: number, all: number, seconds: number): string {
  if (!(done > 0) || !(done < all) || !(seconds >= 2)) return "";
  return `about ${durationText((all / done - 1) * seconds)} left`;
}

/** A length of time, as exact as anyone would want to know it. */
function durationText(seconds: number): string {
  if (seconds < 55) return `${Math.max(5, 5 * Math.round(seconds / 5))} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${Math.max(1, minutes)} min`;
  const hours = seconds / 3600;
  return hours < 9.5 ? `${hours.toFixed(1)} h` : `${Math.round(hours)} h`;
}
