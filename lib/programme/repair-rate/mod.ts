/** How often what could be repaired was repaired. @module */
export { funnelLimits } from "./funnel-limits.ts";
