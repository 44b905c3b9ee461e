/** How far simulations with known answers show that a quantity holds. @module */
export { type HeldBetweenVisits, whereLimitsHeld } from "./where-limits-held.ts";
export { type HeldMix, type HeldQuantity, limitsHeld } from "./limits-held.ts";
export { type LimitedQuantity, type SoundTo, soundTo } from "./sound-to.ts";
