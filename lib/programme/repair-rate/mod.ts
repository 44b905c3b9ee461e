export { funnelLimits } from "./funnel-limits.ts";
