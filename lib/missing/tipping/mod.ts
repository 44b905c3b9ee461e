/** What if values are not missing at random. @module */
export { type TippingPoint, tippingPoint, type TippingStep } from "./tipping-point.ts";
