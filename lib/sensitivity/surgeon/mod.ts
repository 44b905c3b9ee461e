/** The preference of the surgeon as an instrument. @module */
export { type PreferenceInstrument, preferenceInstrument } from "./preference-instrument.ts";
